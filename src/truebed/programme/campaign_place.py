"""Level two: on which night each crew-night is worked. Annealing with a fixed seed and a fixed number of moves.

The price of a placing, lexicographic by weights that cannot be overtaken but for the stated one: a hard cover late,
then harm x days late plus the stated weight of each closure, then nights waited. Within a class the most urgent cover
takes the first night.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date
from math import exp

import numpy as np

from truebed.programme.campaign_calendar import kits_by, late_days, open_nights
from truebed.programme.campaign_oracle import Oracle
from truebed.programme.campaign_pack import Unit
from truebed.programme.campaign_sites import Site, site_hours
from truebed.programme.campaign_timed import fits_tonight
from truebed.programme.campaign_types import Campaign, CampaignCover, Kind

#: Prices above any sum of harm and days: a hard cover late; a cover that no night takes.
HARD_LATE, NOT_TAKEN = 10**6, 10**7
#: One harm-day in parts: a crew-night costs one part for each night that it waits, so that nothing waits for no gain.
PARTS = 1000
SEED = 20
#: A crew works in at most so many streets in one night.
MOST_STREETS = 2
#: Share of the moves that exchange covers between two crew-nights of one site.
EXCHANGES = 0.35
MOVES_OF_A_UNIT = 2000
HOT, COLD = 200.0 * PARTS, 0.05 * PARTS
BATCH = 20000


@dataclass(frozen=True, slots=True)
class Piece:
    """One crew-night to be placed: its site's place in the list, what it takes, its kits, the nights it may have."""

    site: int
    unit: Unit
    kits: int
    nights: tuple[int, ...]


@dataclass(slots=True)
class Shaper:
    """Makes pieces of what a crew-night may take, and remembers them; None where one crew cannot do it."""

    campaign: Campaign
    sites: Sequence[Site]
    nights: Sequence[date]
    oracle: Oracle
    known: dict[tuple[int, Unit], Piece | None] = field(default_factory=dict)
    open_of: dict[tuple[str, Kind], frozenset[date]] = field(default_factory=dict)

    def piece(self, s: int, unit: Unit) -> Piece | None:
        """The piece of that unit."""
        if (s, unit) not in self.known:
            self.known[s, unit] = self._piece(s, unit)
        return self.known[s, unit]

    def _piece(self, s: int, unit: Unit) -> Piece | None:
        site = self.sites[s]
        crew = [covers[0] for (_c, covers), n in zip(site.classes, unit, strict=True) for _ in range(n)]
        streets = sorted({cover.street for cover in crew})
        mixture = tuple(tuple(cover.work for cover in crew if cover.street == street) for street in streets)
        if not crew or len(streets) > MOST_STREETS:
            return None
        if not self.oracle.fits(site_hours(self.campaign, site), mixture, site.hop_min):
            return None
        may = tuple(t for t, night in enumerate(self.nights) if self._may(site, streets, night, crew))
        kits = {w.work: w.kits for w in self.campaign.works}
        return Piece(s, unit, sum(kits[cover.work] for cover in crew), may)

    def _may(self, site: Site, streets: list[str], night: date, crew: list[CampaignCover]) -> bool:
        return any(
            all(night in self._open(street, kind) for street in streets)
            and fits_tonight(self.campaign, self.oracle, night, kind, crew, site.hop_min)
            for kind in site.kinds
        )

    def _open(self, street: str, kind: Kind) -> frozenset[date]:
        if (street, kind) not in self.open_of:
            self.open_of[street, kind] = frozenset(open_nights(self.campaign, street, kind))
        return self.open_of[street, kind]


@dataclass(slots=True)
class Board:
    """The placing under way. at[p]: night of piece p, len(nights) where none has it; here[t]: pieces of night t."""

    campaign: Campaign
    sites: Sequence[Site]
    pieces: list[Piece]
    shaper: Shaper
    nights: Sequence[date]
    prices: list[list[list[list[int]]]]
    slack: np.ndarray
    of_site: list[list[int]] = field(default_factory=list)
    clash: list[frozenset[int]] = field(default_factory=list)
    at: list[int] = field(default_factory=list)
    here: list[list[int]] = field(default_factory=list)
    price: list[int] = field(default_factory=list)


def pieces_of(
    campaign: Campaign, sites: Sequence[Site], units: Sequence[Sequence[Unit]], nights: Sequence[date], oracle: Oracle
) -> tuple[Piece, ...]:
    """The crew-nights with the nights that lead times, embargoes and the clock's changes leave them.

    Source      algebra
    Proved by   tests/programme/test_campaign_place.py
    """
    shaper = Shaper(campaign, sites, nights, oracle)
    made = [shaper.piece(s, unit) for s, of_site in enumerate(units) for unit in of_site]
    return tuple(piece for piece in made if piece is not None)


def place(
    campaign: Campaign,
    sites: Sequence[Site],
    pieces: Sequence[Piece],
    nights: Sequence[date],
    oracle: Oracle,
    kits_gone: int = 0,
) -> tuple[tuple[Piece, int], ...]:
    """Each piece with its night, len(nights) where none can have it; pieces of a site may exchange covers.

    kits_gone   used before the first of these nights

    Valid       any pieces; no bound comes from here (campaign_bounds gives them)
    Source      house (annealing)
    Proved by   tests/programme/test_campaign_place.py
    """
    board = _board(campaign, sites, pieces, nights, oracle, kits_gone)
    _first_placing(board)
    board.price = [_price(board, s) for s in range(len(sites))]
    if pieces and nights:
        _anneal(board)
    return tuple(zip(board.pieces, board.at, strict=True))


def _board(
    campaign: Campaign,
    sites: Sequence[Site],
    pieces: Sequence[Piece],
    nights: Sequence[date],
    oracle: Oracle,
    kits_gone: int,
) -> Board:
    def of_cover(cover: CampaignCover) -> list[int]:
        late = [late_days(cover, night) for night in nights]
        dear = [cover.harm * days + (HARD_LATE if cover.hard and days else 0) for days in late]
        return [*dear, NOT_TAKEN + cover.harm]

    street_of = [set(site.streets) for site in sites]
    return Board(
        campaign,
        sites,
        list(pieces),
        Shaper(campaign, sites, nights, oracle),
        nights,
        [[[of_cover(c) for c in covers] for _class, covers in site.classes] for site in sites],
        np.array([kits_by(campaign, night) - kits_gone for night in nights], dtype=np.int64),
        [[p for p, piece in enumerate(pieces) if piece.site == s] for s in range(len(sites))],
        [frozenset(o for o in range(len(sites)) if o != s and street_of[o] & street_of[s]) for s in range(len(sites))],
        [len(nights)] * len(pieces),
        [[] for _ in range(len(nights) + 1)],
    )


def _first_placing(board: Board) -> None:
    """Pieces by the due date that their most urgent cover has, each to the first night that takes it."""
    rank: dict[int, tuple[int, ...]] = {}
    for s, pieces in enumerate(board.of_site):
        seen = [0] * len(board.sites[s].classes)
        for p in pieces:
            dues: list[int] = []
            for k, count in enumerate(board.pieces[p].unit):
                covers = board.sites[s].classes[k][1][seen[k] : seen[k] + count]
                dues += [c.due.toordinal() - (10**6 if c.hard else 0) for c in covers]
                seen[k] += count
            rank[p] = (min(dues, default=10**7), p)
    for p in sorted(rank, key=lambda q: rank[q]):
        board.here[len(board.nights)].append(p)
        for t in board.pieces[p].nights:
            if _may_move(board, p, t):
                _move(board, p, t)
                break


def _crews(board: Board) -> int:
    return min(board.campaign.crews, board.campaign.vans)


def _may_move(board: Board, p: int, t: int) -> bool:
    if t == len(board.nights):
        return True
    if len(board.here[t]) >= _crews(board) or t not in board.pieces[p].nights:
        return False
    if any(board.pieces[q].site in board.clash[board.pieces[p].site] for q in board.here[t]):
        return False
    return _kits_hold(board, [(p, t)])


def _kits_hold(board: Board, moves: Sequence[tuple[int, int]]) -> bool:
    slack = board.slack
    change = np.zeros(len(slack) + 1, dtype=np.int64)
    for p, t in moves:
        change[board.at[p]] += board.pieces[p].kits
        change[t] -= board.pieces[p].kits
    return bool((slack + np.cumsum(change[:-1]) >= 0).all())


def _move(board: Board, p: int, t: int) -> None:
    was, kits = board.at[p], board.pieces[p].kits
    board.slack[was:] += kits
    board.slack[t:] -= kits
    board.here[was].remove(p)
    board.here[t].append(p)
    board.at[p] = t


def _price(board: Board, s: int) -> int:
    """Lateness of the site's covers, the weight of its closures, and in the small how long its crew-nights wait."""
    mine = sorted((board.at[p], p) for p in board.of_site[s])
    total = 0
    for k, covers in enumerate(board.prices[s]):
        place = 0
        for t, p in mine:
            for _ in range(board.pieces[p].unit[k]):
                total += covers[place][t]
                place += 1
    counts: dict[int, int] = {}
    for t, _p in mine:
        counts[t] = counts.get(t, 0) + 1
    most = board.campaign.most_crews
    total += board.campaign.closure_weight * sum(-(-n // most) for n in counts.values())
    return PARTS * total + sum(t for t, _p in mine)


def _anneal(board: Board) -> None:
    moves = MOVES_OF_A_UNIT * len(board.pieces)
    rng = np.random.default_rng(SEED)
    best, best_price = (list(board.at), list(board.pieces)), sum(board.price)
    price, heat_weight = best_price, HOT
    cooling = (COLD / HOT) ** (1.0 / moves)
    for begun in range(0, moves, BATCH):
        for which_share, where_share, luck_share, sort, way_share in rng.random(
            (min(BATCH, moves - begun), 5)
        ).tolist():
            heat_weight *= cooling
            if sort < EXCHANGES:
                price += _exchange(board, which_share, where_share, way_share, heat_weight, luck_share)
            else:
                price += _try(board, _proposal(board, way_share, which_share, where_share), heat_weight, luck_share)
            if price < best_price:
                best, best_price = (list(board.at), list(board.pieces)), price
    board.at, board.pieces = best


def _exchange(
    board: Board, which_share: float, where_share: float, way_share: float, heat_weight: float, luck_share: float
) -> int:
    """A cover of one piece against one of another of the same site, or against nothing: the price gained."""
    p = int(which_share * len(board.pieces))
    s = board.pieces[p].site
    mates = board.of_site[s]
    q = mates[int(where_share * len(mates))]
    if p == q or board.at[p] == board.at[q]:
        return 0
    gives = [k for k, n in enumerate(board.pieces[p].unit) if n]
    takes: list[int | None] = [k for k, n in enumerate(board.pieces[q].unit) if n]
    pick = int(way_share * len(gives) * (len(takes) + 1))
    k, back = gives[pick % len(gives)], [*takes, None][pick // len(gives)]
    if k == back:
        return 0
    one, other = list(board.pieces[p].unit), list(board.pieces[q].unit)
    one[k], other[k] = one[k] - 1, other[k] + 1
    if back is not None:
        one[back], other[back] = one[back] + 1, other[back] - 1
    new_p, new_q = board.shaper.piece(s, tuple(one)), board.shaper.piece(s, tuple(other))
    if (
        new_p is None
        or new_q is None
        or not _may_be(board, new_p, board.at[p])
        or not _may_be(board, new_q, board.at[q])
    ):
        return 0
    was = board.pieces[p], board.pieces[q]
    _reshape(board, ((p, new_p), (q, new_q)))
    new = _price(board, s)
    gain = new - board.price[s]
    if bool((board.slack >= 0).all()) and (gain <= 0 or luck_share < exp(-gain / heat_weight)):
        board.price[s] = new
        return gain
    _reshape(board, ((p, was[0]), (q, was[1])))
    return 0


def _may_be(board: Board, piece: Piece, t: int) -> bool:
    return t == len(board.nights) or t in piece.nights


def _reshape(board: Board, new: Sequence[tuple[int, Piece]]) -> None:
    for p, piece in new:
        board.slack[board.at[p] :] -= piece.kits - board.pieces[p].kits
        board.pieces[p] = piece


def _proposal(board: Board, way_share: float, which_share: float, where_share: float) -> list[tuple[int, int]]:
    """A piece to another night (and one of that night's back to its own), or two nights exchanged."""
    p = int(which_share * len(board.pieces))
    piece = board.pieces[p]
    if not piece.nights:
        return []
    if way_share < 0.35:
        mates = board.of_site[piece.site]
        t = board.at[mates[int(where_share * len(mates))]]
    else:
        t = piece.nights[int(where_share * len(piece.nights))]
    was = board.at[p]
    if t in (was, len(board.nights)):
        return []
    if way_share > 0.8:
        return [(q, t) for q in board.here[was]] + [(q, was) for q in board.here[t]] if was < len(board.nights) else []
    if len(board.here[t]) < _crews(board):
        return [(p, t)]
    back = board.here[t][int(way_share * 997) % len(board.here[t])]
    return [(p, t), (back, was)]


def _try(board: Board, todo: list[tuple[int, int]], heat_weight: float, luck_share: float) -> int:
    """The price gained (0 where the change is not made)."""
    if not todo:
        return 0
    last = len(board.nights)
    if any(t != last and t not in board.pieces[p].nights for p, t in todo) or not _kits_hold(board, todo):
        return 0
    back = [(p, board.at[p]) for p, _t in todo]
    for p, t in todo:
        _move(board, p, t)
    sites = {board.pieces[p].site for p, _t in todo}
    if not any(_clashes(board, p, t) for p, t in todo):
        new = {s: _price(board, s) for s in sorted(sites)}
        gain = sum(new.values()) - sum(board.price[s] for s in new)
        if gain <= 0 or luck_share < exp(-gain / heat_weight):
            for s, price in new.items():
                board.price[s] = price
            return gain
    for p, t in back:
        _move(board, p, t)
    return 0


def _clashes(board: Board, p: int, t: int) -> bool:
    if t == len(board.nights):
        return False
    clash = board.clash[board.pieces[p].site]
    return len(board.here[t]) > _crews(board) or any(board.pieces[q].site in clash for q in board.here[t])

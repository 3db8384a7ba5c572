"""The decision table: whole, cited, and deciding for every combination of facts."""

from itertools import product

from truebed.diagnosis.facts import FACTS
from truebed.diagnosis.survey import CORNERS
from truebed.diagnosis.table import cite, first_row, lighter_rows, packaged_table
from truebed.given.columns import file_columns
from truebed.given.works import Condition
from truebed.sources import READ_AS, known_sources

TABLE = packaged_table()
IRON = ("lid_moves", "lid_low", "lid_proud", "frame_off", "bed_failed", "courses_failed")


def states(**found):
    return dict.fromkeys(FACTS, "no") | found


def test_every_row_and_repair_cites_a_known_source_with_its_tag():
    for one in (*TABLE.rows, *TABLE.also, *TABLE.repairs.values()):
        key = one.source[1 : one.source.index("]")]
        assert key in known_sources(), one.key
        assert one.source.rstrip(")").rsplit("(", 1)[1] in READ_AS
    assert cite({"source": "house", "clause": "x", "read_as": "assumption"}) == "[house] x (assumption)"


def test_rows_name_only_facts_and_repairs_that_there_are():
    for row in (*TABLE.rows, *TABLE.also):
        assert {fact for fact, _ in row.needs} | set(row.some) | set(row.unseen) <= set(FACTS)
        assert {state for _, state in row.needs} <= {"yes", "no", "unknown"}
        assert {row.repair, *row.then, *row.beside, *row.without} <= set(TABLE.repairs)
    assert {row.repair for row in TABLE.rows} == set(TABLE.repairs)
    assert len({row.key for row in TABLE.rows}) == len(TABLE.rows)


def test_tests_fill_columns_that_there_are_and_go_from_all_facts():
    columns = set(Condition.__dataclass_fields__)
    for test in TABLE.tests:
        assert set(test.fields) <= columns
        assert len(test.tries) >= 2
        assert set(test.words) >= {t for t in test.tries if isinstance(t, str)}
    filled = {field for test in TABLE.tests for field in test.fields}
    assert {f"{what}_step_{corner}_mm" for what in ("lid", "frame") for corner, _, _ in CORNERS} <= filled


def test_some_row_decides_whatever_is_known_and_no_unseen_interface_comes_out_as_nothing():
    for iron in product(("yes", "no", "unknown"), repeat=len(IRON)):
        repair = first_row(TABLE, states(**dict(zip(IRON, iron, strict=True)))).repair
        assert (repair == "nothing") == (set(iron) == {"no"}), iron


def test_the_words_that_a_test_may_find_are_those_that_the_reader_takes():
    columns = {column.name: column for column in file_columns("condition.csv").columns}
    for test in TABLE.tests:
        for field in test.fields:
            assert field in columns
            if test.words and columns[field].choices:
                assert set(test.words) <= set(columns[field].choices), field


def test_only_lifting_repairs_bed_a_frame():
    assert {r.key for r in TABLE.repairs.values() if r.beds} == {
        "replace cover and frame", "re-bed", "rebuild courses", "make up height",
    }  # fmt: skip
    assert all(r.dig == "frame" for r in TABLE.repairs.values() if r.beds)


def test_with_all_unknown_nothing_is_dug():
    row = first_row(TABLE, dict.fromkeys(FACTS, "unknown"))
    assert (row.repair, TABLE.repairs[row.repair].dig) == ("measure first", "no")


def test_the_deepest_interface_governs_and_the_lighter_faults_go_with_it():
    every = states(courses_failed="yes", height_outside="yes", bed_failed="yes", frame_off="yes", lid_moves="yes",
                   seats_worn="yes", surround_failed="yes", cracks_open="yes", polished="yes")  # fmt: skip
    row = first_row(TABLE, every)
    assert (row.repair, row.then) == ("rebuild courses", ("re-bed",))
    assert [one.repair for one in lighter_rows(TABLE, every, row)] == ["make up height", "replace cover"]


def test_a_repair_that_contains_another_does_not_name_it_again():
    found = states(frame_broken="yes", lid_low="yes", lid_moves="yes", polished="yes")
    row = first_row(TABLE, found)
    assert row.repair == "replace cover and frame"
    assert lighter_rows(TABLE, found, row) == ()


def test_the_plan_below_matters_only_where_the_frame_would_come_out():
    assert first_row(TABLE, states(plan_other="yes", lid_moves="yes")).repair == "re-seat"
    assert first_row(TABLE, states(plan_other="yes", frame_off="yes")).repair == "find out first"
    assert first_row(TABLE, states(plan_other="yes")).repair == "nothing"

"""One search: the solver with fixed seed, interleaved workers and a limit in its own deterministic time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from truebed.programme.board import schedule_of
from truebed.programme.model import ClosureModel
from truebed.programme.problem import Problem, Schedule

if TYPE_CHECKING:
    from ortools.sat.python.cp_model import CpSolver

#: Wall-clock guard of one search [s]; only a machine that is far too slow or loaded meets it, and then it is reported.
GUARD_S = 120.0
#: Four interleaved workers prove sooner than two even on two cores (measured; docs/theory/programme.md).
WORKERS = 4
#: Pieces of search between two looks at the limit: with the solver's own twelve a limit below six means nothing.
BATCH = 4

Answer = Literal["optimal", "feasible", "infeasible", "unknown"]


@dataclass(frozen=True, slots=True)
class Found:
    """What a search gave. value, bound: of the objective, None where there is no answer or no objective.

    spent_s     deterministic time that the search took
    team        each cover's team in the schedule
    """

    answer: Answer
    schedule: Schedule | None
    value: int | None
    bound: int | None
    spent_s: float
    guard_hit: bool
    team: tuple[tuple[str, int], ...] = ()


def search(
    problem: Problem,
    made: ClosureModel,
    *,
    deterministic_limit_s: float,
    workers: int = WORKERS,
    on_better: Callable[[int], None] | None = None,
) -> Found:
    """Run the solver on the model as it stands (its objective is set by the caller).

    deterministic_limit_s  in the solver's own deterministic time, not the clock's: the same model gives the same answer

    Source      house
    Proved by   tests/programme/test_solve.py
    """
    from ortools.sat.python import cp_model

    solver = cp_model.CpSolver()
    solver.parameters.random_seed = 1
    solver.parameters.catch_sigint_signal = False  # a stop asked for is a stop, not a worse programme
    solver.parameters.num_workers = workers
    solver.parameters.interleave_search = True
    solver.parameters.interleave_batch_size = BATCH
    solver.parameters.max_deterministic_time = deterministic_limit_s
    solver.parameters.max_time_in_seconds = GUARD_S

    class _Better(cp_model.CpSolverSolutionCallback):
        def on_solution_callback(self) -> None:
            if on_better is not None:
                on_better(round(self.objective_value))

    status = solver.solve(made.model, _Better())
    answers: dict[cp_model.CpSolverStatus, Answer] = {
        cp_model.OPTIMAL: "optimal",
        cp_model.FEASIBLE: "feasible",
        cp_model.INFEASIBLE: "infeasible",
    }
    answer = answers.get(status, "unknown")
    guard_hit = answer in ("feasible", "unknown") and solver.wall_time >= GUARD_S
    schedule = _read(problem, made, solver) if answer in ("optimal", "feasible") else None
    judged = schedule is not None and made.model.has_objective()
    value = round(solver.objective_value) if judged else None
    bound = round(solver.best_objective_bound) if judged else None
    team = () if schedule is None else _teams(made, solver)
    return Found(answer, schedule, value, bound, solver.response_proto.deterministic_time, guard_hit, team)


def _teams(made: ClosureModel, solver: CpSolver) -> tuple[tuple[str, int], ...]:
    return tuple(
        (net.job.cover, next(k for k, x in enumerate(of_net) if solver.value(x)))
        for net, of_net in zip(made.nets, made.people.by_team, strict=True)
        if any(solver.value(x) for x in of_net)
    )


def _read(problem: Problem, made: ClosureModel, solver: CpSolver) -> Schedule:
    nets = [net for net, done in zip(made.nets, made.done, strict=True) if solver.value(done)]
    starts = {
        (net.job.cover, task.step): solver.value(start)
        for net, of_job in zip(made.nets, made.starts, strict=True)
        for task, start in zip(net.job.tasks, of_job, strict=True)
    }
    return schedule_of(problem, nets, starts)

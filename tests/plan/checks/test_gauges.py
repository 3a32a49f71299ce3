"""Gauges: the figures of the checks, to be drawn."""

from proofs.lengths import Size, inches, millimetres
from proofs.plan.checks.gauges import gauges
from proofs.plan.entry.planning import Plan, plan_entry
from proofs.records.job import Job
from proofs.records.rules import VisibleRule
from tests.workbench import a_job, an_entry, facts, some_rules


def job_of(**limits: object) -> Job:
    return a_job(rules=some_rules(visible=VisibleRule(**limits)))  # type: ignore[arg-type]


def plan_of(job: Job, *sizes: str) -> Plan:
    files = "|".join(f"{n}.jpg" for n in range(len(sizes)))
    entry = an_entry("|".join(sizes), file=files)
    return plan_entry(job, entry, *[facts(3000, 2000) for _ in sizes])


def test_a_gauge_states_size_limit_and_tolerance() -> None:
    job = job_of(longest_least=inches(10))
    (gauge,) = gauges(job, plan_of(job, "long 12 in"))
    # 12 in less 1/8 in on both sides; two cuts of 1 mm may make it 2 mm longer or shorter.
    seen = inches("11.75")
    assert (gauge.least, gauge.most) == (inches(10).nm, None)
    assert gauge.value == seen.nm
    assert (gauge.low, gauge.high) == (
        (seen - millimetres(2)).nm,
        (seen + millimetres(2)).nm,
    )


def test_a_measured_size_takes_the_place_of_the_planned_one() -> None:
    job = job_of(longest_least=inches(10))
    measured = Size(inches("11.7"), inches("7.7"))
    (gauge,) = gauges(job, plan_of(job, "long 12 in"), [measured])
    assert gauge.value == inches("11.7").nm


def test_each_measure_has_one_gauge_with_both_of_its_limits() -> None:
    job = job_of(longest_least=inches(10), longest_most=inches(14), shortest_least=inches(4))
    longest, shortest = gauges(job, plan_of(job, "long 13 in"))
    assert (longest.least, longest.most) == (inches(10).nm, inches(14).nm)
    assert longest.nearest == longest.most
    assert shortest.nearest == shortest.least
    assert longest.codes == ("longest-side", "longest-side-most")


def test_the_picture_that_decides_is_shown_where_each_counts_by_itself() -> None:
    job = job_of(longest_least=inches(5))
    (gauge,) = gauges(job, plan_of(job, "long 8 in", "long 6 in"))
    assert gauge.value == inches("5.75").nm


def test_longest_sides_that_count_together_are_added_up() -> None:
    job = job_of(longest_least=inches(10), sums=True)
    (gauge,) = gauges(job, plan_of(job, "long 8 in", "long 6 in"))
    assert gauge.value == inches("13.5").nm


def test_without_rules_there_is_no_gauge() -> None:
    job = a_job()
    assert gauges(job, plan_of(job, "long 12 in")) == ()

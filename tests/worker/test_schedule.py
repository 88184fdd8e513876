"""What runs when: every name leads to a task, and a clock put back silences nothing."""

from datetime import UTC, datetime, timedelta
from importlib import import_module

from celery.schedules import schedule

from worker.schedule import beat_schedule, steady_clock


def test_every_row_of_the_table_names_a_task():
    for row in beat_schedule(sweep_seconds=2).values():
        module, name = row["task"].rsplit(".", 1)

        assert callable(getattr(import_module(module), name))


def test_a_sweep_runs_as_often_as_the_setting_says():
    sweep = beat_schedule(sweep_seconds=7.5)["write messages that are due"]

    assert sweep["schedule"].run_every == timedelta(seconds=7.5)


def test_a_tick_that_waited_for_the_next_one_is_dropped():
    for row in beat_schedule(sweep_seconds=2).values():
        assert row["options"]["expires"] <= max(row["schedule"].run_every.total_seconds(), 1)


def test_putting_the_wall_clock_back_does_not_silence_the_schedule():
    wall, seconds = [datetime(2026, 3, 2, 10, tzinfo=UTC)], [100.0]
    clock = steady_clock(wall=lambda: wall[0], monotonic=lambda: seconds[0])
    every_minute = schedule(run_every=60, nowfun=clock)
    last_run_at = clock()

    wall[0] -= timedelta(hours=1)
    seconds[0] += 61

    assert every_minute.is_due(last_run_at).is_due

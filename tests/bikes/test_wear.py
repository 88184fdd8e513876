"""How parts wore, and when their limits come, against SciPy where it can say."""

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from scipy import stats

from shopfloor.bikes.picture import HEIGHT, WIDTH, picture_of
from shopfloor.bikes.wear import Reading, wear_of

START = datetime(2025, 1, 1, 12, tzinfo=UTC)


def _readings(*pairs, **facts):
    return [Reading(START + timedelta(days=d), value, "J-0001", **facts) for d, value in pairs]


def _chain(*pairs):
    return wear_of(
        item="chain",
        label="Chain",
        unit="%",
        limit=0.75,
        falls=False,
        readings=_readings(*pairs),
    )


def _pad(readings):
    return wear_of(item="pad", label="Pad", unit="mm", limit=0.5, falls=True, readings=readings)


def _days(at):
    return (at - START) / timedelta(days=1)


# Second implementation: the line by scipy.stats.linregress; the interval by trying, for a fine
# raster of days, whether the 95 % band of the mean (Student's t) still holds the limit.
@pytest.mark.parametrize(
    "pairs",
    [
        [(0, 0.05), (120, 0.21), (260, 0.38), (400, 0.55)],
        [(0, 0.1), (90, 0.22), (200, 0.33), (330, 0.52), (420, 0.6)],
    ],
)
def test_the_crossing_and_its_interval_agree_with_scipy(pairs):
    x, y = np.array(pairs).T
    fit = stats.linregress(x, y)
    t = stats.t.ppf(0.975, len(x) - 2)
    residual = np.sqrt(np.sum((y - fit.intercept - fit.slope * x) ** 2) / (len(x) - 2))
    raster = np.arange(0, 2000, 0.05)
    spread = residual * np.sqrt(1 / len(x) + (raster - x.mean()) ** 2 / np.sum((x - x.mean()) ** 2))
    inside = raster[np.abs(fit.intercept + fit.slope * raster - 0.75) <= t * spread]

    outlook = _chain(*pairs).outlook

    assert _days(outlook.on) == pytest.approx((0.75 - fit.intercept) / fit.slope)
    assert _days(outlook.early) == pytest.approx(inside[0], abs=0.1)
    assert _days(outlook.late) == pytest.approx(inside[-1], abs=0.1)


def test_a_pad_wears_the_other_way_by_the_same_line():
    pairs = [(0, 3.0), (100, 2.4), (200, 1.9), (300, 1.3)]
    slope, intercept = np.polyfit(*np.array(pairs).T, 1)

    outlook = _pad(_readings(*pairs)).outlook

    assert _days(outlook.on) == pytest.approx((0.5 - intercept) / slope)
    assert outlook.per_day == pytest.approx(slope)
    assert outlook.early < outlook.on < outlook.late


def test_two_readings_are_too_few_to_say():
    outlook = _chain((0, 0.1), (100, 0.3)).outlook

    assert (outlook.on, outlook.late) == (None, None)
    assert "at least three readings" in outlook.says_no


def test_a_pad_that_does_not_wear_is_not_told_that_its_readings_should_rise():
    outlook = _pad(_readings((0, 2.0), (100, 2.0), (200, 2.05))).outlook

    assert outlook.says_no.startswith("No projection: these readings show no wear.")


def test_readings_that_scatter_too_much_are_refused():
    outlook = _chain((0, 0.3), (30, 0.2), (60, 0.35), (90, 0.27)).outlook

    assert outlook.on is None
    assert outlook.says_no.startswith("No projection")


def test_a_chain_that_reads_much_shorter_is_another_chain():
    wear = _chain((0, 0.4), (200, 0.7), (201, 0.05), (400, 0.3))

    assert [[one.value for one in part] for part in wear.parts] == [[0.4, 0.7], [0.05, 0.3]]


def test_a_reading_that_is_a_little_better_is_the_same_chain():
    assert len(_chain((0, 0.4), (100, 0.38), (200, 0.6)).parts) == 1


def test_what_was_fitted_anew_is_another_part_even_if_it_reads_alike():
    readings = _readings((0, 3.0), (100, 2.9)) + _readings((101, 2.95), is_new=True)

    assert [len(part) for part in _pad(readings).parts] == [2, 1]


def test_a_limit_that_is_far_beyond_the_readings_is_called_a_guess():
    wear = _chain((0, 0.10), (20, 0.121), (40, 0.139), (60, 0.16))

    assert wear.outlook.is_far


def test_the_picture_holds_everything_and_its_line_ends_on_the_limit():
    wear = _chain((0, 0.05), (120, 0.21), (260, 0.38), (400, 0.55))

    picture = picture_of(wear)

    points = [point for part in picture.parts for point in part]
    assert all(0 <= x <= WIDTH and 0 <= y <= HEIGHT for x, y in points)
    assert points == sorted(points)
    assert [y for _x, y in points] == sorted((y for _x, y in points), reverse=True)
    assert picture.line[1] == (picture.crossing, picture.limit_y)
    assert picture.interval[0] < picture.crossing < picture.interval[1]


def test_a_picture_without_a_projection_has_no_line():
    picture = picture_of(_chain((0, 0.1), (10, 0.12)))

    assert (picture.line, picture.interval) == (None, None)
    assert picture.end - picture.start == timedelta(days=30)

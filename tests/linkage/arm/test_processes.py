"""ISO 9013 deviations as the copy of the tables has them."""

import pytest

from linkage.arm.processes import ISO_9013, PROCESSES, deviation


@pytest.mark.parametrize(
    ("plate", "size", "laser", "plasma"),
    [
        # ISO 9013:2017, READ in a fabricator's copy: worked readings off the table.
        (8.0, 10.0, 0.30, 1.1),
        (6.0, 120.0, 0.25, 0.9),
        (8.0, 8.2, 0.25, 1.0),
        (3.15, 2.9, 0.10, 0.6),
        (3.16, 2.9, 0.20, 0.7),
        (15.0, 999.0, 0.55, 2.3),
        (8.0, 2.9, None, None),
        (15.1, 20.0, None, None),
        (8.0, 1000.0, None, None),
        (1.0, 20.0, None, None),
    ],
)
def test_readings(
    plate: float, size: float, laser: float | None, plasma: float | None
) -> None:
    assert deviation(plate, size, PROCESSES["laser"].iso_class) == laser
    assert deviation(plate, size, PROCESSES["plasma"].iso_class) == plasma


@pytest.mark.parametrize("iso_class", ISO_9013)
def test_thicker_and_larger_is_never_better(iso_class: int) -> None:
    table = ISO_9013[iso_class]
    for row in table.values():
        known = [value for value in row if value is not None]
        assert known == sorted(known)
    for column in zip(*table.values(), strict=True):
        known = [value for value in column if value is not None]
        assert known == sorted(known)


def test_laser_is_the_finer() -> None:
    for plate in (2.0, 5.0, 8.0, 12.0):
        for size in (5.0, 20.0, 100.0, 500.0):
            fine, coarse = deviation(plate, size, 1), deviation(plate, size, 2)
            assert fine is not None
            assert coarse is not None
            assert fine < coarse

"""Every planted family is returned, and none that is not there."""

import numpy as np
import pytest
from scipy import ndimage

from linkage.loading import load_text
from linkage.placing.place import place
from tests.cases_count import many
from tests.linkage.placing.asked import problem_of
from tests.linkage.placing.islands import islands
from tests.linkage.placing.planted import KINDS, drawn, filled, measured, target


@pytest.mark.parametrize("count", [2, 3, 4])
def test_as_many_families_as_were_planted(count: int) -> None:
    for seed in range(many(30)):
        design, pairs = islands(count, np.random.default_rng([seed, count]))
        placement = place(design)
        found = [
            [
                complex(a.values["brake.clevis.x"], a.values["brake.clevis.z"]),
                complex(a.values["point.stay.x"], a.values["point.stay.z"]),
            ]
            for a in placement.answers
        ]
        assert len(found) == count, design.text
        for pair in pairs:
            gaps = [np.abs(np.subtract(pair, each)).max() for each in found]
            assert min(gaps) < 3.0, design.text
        assert all(a.free_directions == 0 for a in placement.answers)


@pytest.mark.parametrize("seed", range(many(30)))
def test_families_of_two_free_values_against_flooding(seed: int) -> None:
    """Two values free: islands of a fine picture of what is met are counted.

    Specks of a few cells are left aside: the picture cannot tell them.
    """
    rng = np.random.default_rng([seed, 77])
    kind = KINDS["direct"]
    layout = drawn(kind, rng)
    texts = {key: f"{number}" for key, number in layout.items()}
    plain = filled(kind, texts)
    asks = [("crank angle", "50 %"), ("ratio", "0 to 70 mm"), ("rod angle", "full")]
    what, at = asks[seed % 3]
    got = measured(plain, [(what, at)])[0]
    for key, wide in (("clevis.x", 40.0), ("clevis.z", 60.0)):
        texts[key] = f'"{layout[key] - wide:.2f} to {layout[key] + 0.4 * wide:.2f}"'
    number = got if what == "ratio" else float(np.degrees(got))
    within = 0.15 if what == "ratio" else 2.0
    text = filled(kind, texts) + target(
        what, at, f"is = {number:.4f}\nwithin = {within}"
    )
    design = load_text(text)
    problem = problem_of(design)
    side = 300
    axis = (np.arange(side) + 0.5) / side
    u = np.stack(np.meshgrid(axis, axis, indexing="ij"), axis=-1).reshape(-1, 2)
    met = problem.bands.met(problem(u)).reshape(side, side)
    labels, count = ndimage.label(met, structure=np.ones((3, 3)))
    sizes = ndimage.sum_labels(met, labels, range(1, count + 1))
    placement = place(design)
    assert int(np.sum(np.asarray(sizes) > 30)) <= len(placement.answers) <= count

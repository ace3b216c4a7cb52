"""What leans on guesses, and which reading is worth doing twice: in words."""

from collections.abc import Collection, Mapping, Sequence

from linkage.design.records import Design, Pedal
from linkage.units import BY_NAME, Measure, out_of, trim
from linkage.words.figures import TAPES
from linkage.words.names import value_name
from linkage.words.speech import Speech, paragraph, tidy
from linkage.words.sways import NOTHING, Sway, Swayed, on_tape, readings

#: What a foot feels of a guess is said before other figures.
FIRST = ("ratio", "rod angle", "stroke", "cable pull")


def guess_lines(
    design: Design,
    pedal: str,
    swayed: Mapping[str, Swayed],
    loaded: Collection[str] = (),
) -> list[str]:
    """Return every guess that a pedal leans on, with what it sways.

    Parameters
    ----------
    design : Design
    pedal : str
    swayed : mapping of str to Swayed
        By path; see `linkage.words.figures.with_figures`.
    loaded : collection of str
        Paths on which loads rest; see `linkage.words.loaded.loaded_guesses`.
    """
    said = [g for g in design.guesses if touches(design, g.path, pedal)]
    taken = _taken(design.pedals[pedal], Speech(design.units))
    lines = [f"  Guesses: {len(said) or 'none'}"]
    for each in said:
        name = f'{value_name(design, each.path)} "{tidy(each.text, 30)}":'
        rests = _rests(each.path, loaded)
        told = _guess(design, rests, swayed.get(each.path))
        lines += paragraph(f"{name} {told}", 4, 2)
    if taken:
        text = (
            f"Not given, so taken: {taken}. The motion does not change; the cut file, "
            "the strength and the weight rest on them."
        )
        lines += paragraph(text, 4, 2)
    return lines


def touches(design: Design, path: str, pedal: str) -> bool:
    """Return True for what belongs to a pedal, or to the car."""
    owner = path.partition(".")[0]
    return owner == pedal or owner not in design.pedals


def _guess(design: Design, rests: str, swayed: Swayed | None) -> str:
    speech = Speech(design.units)
    nothing = str(NOTHING)
    if speech.units == "in":
        nothing = f"{speech.short(NOTHING)} in or {NOTHING} deg"
    if swayed is None or not (swayed.felt or (swayed.sways and not rests)):
        return rests or "nothing in the motion rests on it."
    if not swayed.felt:
        return f"{_out(swayed, speech)} out moves nothing by {nothing}."
    return (
        f"{_out(swayed, speech)} out changes {_sways(swayed.felt, speech)}. Nothing "
        f"else moves by {nothing}."
    )


def _rests(path: str, loaded: Collection[str]) -> str:
    """Return what beside the motion rests on a guess, "" for nothing that is known."""
    _, _, rest = path.partition(".")
    if rest.startswith("arm."):
        return (
            "nothing in the motion rests on it; the cut file, the strength and the "
            "weight do."
        )
    if rest.endswith((".bore", ".second_bore", ".gland")):
        return "nothing in the motion rests on it; pressure and effort do."
    if path in loaded:
        return "what is said above of springs, friction and the leg rests on it."
    return ""


def _out(swayed: Swayed, speech: Speech) -> str:
    if BY_NAME[swayed.value.unit].measure is Measure.ANGLE:
        return f"{trim(out_of(swayed.out, 'deg'), 1)} deg"
    return speech.ruled(swayed.out)


def _sways(felt: Sequence[Sway], speech: Speech) -> str:
    ordered = sorted(felt, key=lambda sway: sway.of not in FIRST)
    return ", ".join(_sway(sway, speech) for sway in ordered)


def _sway(sway: Sway, speech: Speech) -> str:
    what = {"rod angle": "the rod's lean"}.get(sway.of, f"the {sway.of}")
    if sway.of == TAPES:
        return f"{what} by up to {speech.ruled(sway.change)}"
    if sway.unit == "mm":
        return f"{what} by {speech.ruled(sway.change)}"
    if sway.unit == "deg":
        return f"{what} by {sway.change:.1f} deg"
    return f"{what} by {sway.change:.2f}"


def _taken(pedal: Pedal, speech: Speech) -> str:
    """Return what the program took for the arm where the file is silent."""
    arm = pedal.arm
    taken = arm.plate.guess and not arm.plate.line
    said = [f"plate {speech.size(arm.plate.nominal)}"] if taken else []
    said += [arm.material] if arm.material_guess else []
    bores = [
        f"{hole.replace('clevis', 'hole')} {speech.size(bore.nominal)}"
        for hole, bore in arm.bores.items()
        if bore.guess and not bore.line
    ]
    said += [f"bores {' and '.join(bores)}"] if bores else []
    return ", ".join(said)


def twice_text(
    design: Design, swayed: Mapping[str, Swayed], speech: Speech | None = None
) -> str:
    """Return which reading is worth doing again, and which is not; "" for none.

    Two that matter alike (the heights of pivot and cylinder) are named together.
    Without ``speech`` it is said in the units of the file.
    """
    read = readings(swayed)
    if not read or not read[0].felt:
        return ""
    speech, first = speech or Speech(design.units), read[0]
    felt = [s for s in first.felt if "rod length" not in s.of] or list(first.felt)
    alike = [
        each
        for each in read[1:3]
        if each.weight > 0.9 * first.weight and each.out == first.out
    ]
    names = " and ".join(
        f'"{value_name(design, each.value.path)}"' for each in (first, *alike[:1])
    )
    text = (
        f"Do {'these two' if alike else 'this one'} twice: {names}. "
        f"{_out(first, speech)} out changes {_sways(felt[:2], speech)}."
    )
    idle = [each for each in read if on_tape(each) and each.weight > 0.0]
    if idle and idle[-1].weight < 0.2 * first.weight:
        text += f' Not worth it: "{value_name(design, idle[-1].value.path)}".'
    return text

"""A design's outputs as files: the ending picks the form."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from linkage import arguments
from linkage.arm.fitted import located, plan_of
from linkage.arm.outline import ArmShape, shape_arm
from linkage.design.records import Design
from linkage.faults import DesignError, Fault

if TYPE_CHECKING:
    from linkage.cutting.job import CutJob
    from linkage.placing.records import Placement


#: Endings of pictures: they take all pedals.
PICTURES = (".svg", ".png")
#: Forms of a cut file.
FORMS = ("r12", "r2010", "pieces")
#: Endings of what carries the design's mark, and may be replaced by the same design.
MARKED = (*PICTURES, ".csv")


@contextmanager
def locating(design: Design, pedal: str) -> Iterator[None]:
    """Say file and line of what is wrong with an arm."""
    try:
        yield
    except DesignError as error:
        raise located(error, design, pedal) from error


def outline(design: Design, pedal: str) -> ArmShape:
    """Return the arm of a pedal: contour (n, 3) of x, z, bulge, mm, and hole centres.

    Raises
    ------
    DesignError
        Where a value is still free, the points give no outline, or there is no such
        pedal.
    """
    arguments.named(design, pedal)
    with locating(design, pedal):
        return shape_arm(plan_of(design, pedal))


def write(
    design: "Design | Placement",
    path: str | Path,
    *,
    pedal: str | None = None,
    force: bool = False,
    form: str = "r12",
    units: str = "mm",
    paper: str | None = None,
) -> None:
    """Write one output of a design, whole or not at all.

    Parameters
    ----------
    design : Design or Placement
        Of a placement its best answer.
    path : str or Path
        Ending ``.dxf``: the arm's cut file; ``.pdf``: its full-size pattern; ``.svg``
        or ``.png``: the sweep's picture; ``.csv`` or ``.json``: its table; ``.toml``:
        the file of a placement, filled in.
    pedal : str, optional
        Needed where the design has several (a picture takes all).
    force : bool
        Write over a file that is not this design's own.
    form : {"r12", "r2010", "pieces"}
    units : {"mm", "in"}
        Of the cut file.
    paper : {"a4", "letter", "a3"}, optional
        Of the pattern; left out, letter for a design in inches, else A4.

    Raises
    ------
    DesignError
        For an unknown ending, a design that cannot be used, a placement without an
        answer, or a cut file that fails its check.
    OSError
        Where the file cannot be written.
    """
    from export.files import put_bytes
    from linkage.sheets.stamp import stamp_of

    if not isinstance(path, str | Path):
        right = 'Give a file\'s name: "brake.dxf".'
        raise arguments.refused("path", f"{path!r} is no path.", right)
    if not isinstance(design, Design):
        design = _answered(design)
        if Path(path).suffix.lower() == ".toml":
            put_bytes(Path(path), design.text.encode(), force=force, mark=None)
            return
    data = output_bytes(design, path, pedal=pedal, form=form, units=units, paper=paper)
    marked = Path(path).suffix.lower() in MARKED
    mark = stamp_of(design).owner.encode() if marked else None
    put_bytes(Path(path), data, force=force, mark=mark)


def _answered(placement: "Placement") -> Design:
    """Return the design of a placement's best answer.

    Raises
    ------
    DesignError
        Where nothing was placed.
    """
    from linkage.loading import load_text

    file = placement.design.file
    if not placement.answers:
        wrong = f"nothing was placed: {placement.status}."
        right = "Change what is asked; the placement says where it could give way."
        raise arguments.refused("placement", wrong, right, file)
    return load_text(placement.answers[0].text, file)


def output_bytes(
    design: Design,
    path: str | Path,
    *,
    pedal: str | None = None,
    form: str = "r12",
    units: str = "mm",
    paper: str | None = None,
) -> bytes:
    """Return the bytes of one output of a design, as `write` would write them.

    Raises
    ------
    DesignError
        For an unknown ending, a design that cannot be used, or a cut file that fails
        its check.
    """
    ending = Path(path).suffix.lower()
    if ending not in WRITERS:
        wrong = f'the ending "{ending}" names no form of a design.'
        right = f"There are {', '.join(WRITERS)}."
        raise DesignError([Fault(file=str(path), wrong=wrong, right=right)])
    _check_options(form, units, paper)
    options = {"form": form, "units": units, "paper": paper, "ending": ending}
    return WRITERS[ending](design, _pedals(design, pedal, ending), Path(path), options)


def _check_options(form: str, units: str, paper: str | None) -> None:
    from export.tiling import PAPERS

    arguments.one_of("form", form, FORMS)
    arguments.one_of("units", units, ("mm", "in"))
    if paper is not None:
        arguments.one_of("paper", paper, tuple(PAPERS))


def _pedals(design: Design, pedal: str | None, ending: str) -> tuple[str, ...]:
    if pedal is not None:
        return (arguments.named(design, pedal),)
    names = tuple(design.pedals)
    if len(names) > 1 and ending not in PICTURES:
        right = f"This design has {', '.join(names)}."
        raise arguments.refused("pedal", "one pedal is wanted.", right, design.file)
    return names


Options = dict[str, Any]


def cut_job(
    design: Design, pedal: str, path: Path, *, form: str = "r12", units: str = "mm"
) -> "CutJob":
    """Return the cut file of a pedal's arm, and everything said about it.

    Parameters
    ----------
    path : Path
        Where it will go: its name stands in a comment of the file.
    form : {"r12", "r2010", "pieces"}
    units : {"mm", "in"}

    Raises
    ------
    DesignError
        Where a value is still free, or the points give no outline. A check that fails
        is no error: see ``job.ok``.
    """
    from linkage.cutting.job import cut_arm
    from linkage.sheets.stamp import stamp_of

    with locating(design, pedal):
        return cut_arm(
            plan_of(design, pedal),
            form=form,  # type: ignore[arg-type]
            units=units,  # type: ignore[arg-type]
            stem=path.stem,
            mark=stamp_of(design).mark,
        )


def cut_bytes(
    design: Design, pedals: tuple[str, ...], path: Path, options: Options
) -> bytes:
    """Return the cut file of one pedal's arm; its check must hold."""
    given = {key: options[key] for key in ("form", "units")}
    job = cut_job(design, pedals[0], path, **given)
    right = "A cutting shop would send it back: change the arm's points or bores."
    faults = [
        Fault(file=str(path), key=verdict.name, wrong=verdict.sentence, right=right)
        for verdict in job.verdicts
        if not verdict.ok
    ]
    if faults:
        raise DesignError(faults)
    return job.data


def pattern_bytes(
    design: Design, pedals: tuple[str, ...], path: Path, options: Options
) -> bytes:
    """Return the full-size pattern of one pedal's arm."""
    from export.pdf import pdf_bytes

    del path
    return pdf_bytes(pattern_sheets(design, pedals[0], options["paper"]))


def pattern_sheets(design: Design, pedal: str, paper: str | None = None) -> Any:
    """Return the sheets of one pedal's pattern."""
    from linkage.sheets.pattern import pattern_pages, usual_paper
    from linkage.sheets.stamp import stamp_of
    from linkage.words.cut import guess_texts
    from linkage.words.speech import Speech

    with locating(design, pedal):
        plan = plan_of(design, pedal)
        shape = shape_arm(plan)
    speech = Speech(design.units)
    guesses = "; ".join(guess_texts(plan, speech))
    return pattern_pages(
        shape.contour,
        {hole: (at, plan.bore(hole)) for hole, at in shape.centres.items()},
        paper=paper or usual_paper(design.units),
        title=plan.title,
        stamp=stamp_of(design),
        pad=plan.pad,
        speech=speech,
        footer=(f"Guesses, not given: {guesses}.",) if guesses else (),
    )


def sweep_bytes(
    design: Design, pedals: tuple[str, ...], path: Path, options: Options
) -> bytes:
    """Return the picture or the table of a sweep."""
    from linkage.sheets.files import sweep_file
    from linkage.sweeping import sweep

    del path
    found = {name: sweep(design, name) for name in pedals}
    return sweep_file(design, found, options["ending"], False)


Writer = Callable[[Design, tuple[str, ...], Path, Options], bytes]
WRITERS: dict[str, Writer] = {
    ".dxf": cut_bytes,
    ".pdf": pattern_bytes,
    ".svg": sweep_bytes,
    ".png": sweep_bytes,
    ".csv": sweep_bytes,
    ".json": sweep_bytes,
}

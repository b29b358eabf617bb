"""``refmatch class``: one lesson, many boxes."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from refmatch.cli import help
from refmatch.cli.options import (
    BoxFile,
    FamilyCount,
    Holes,
    Json,
    NoKey,
    Replace,
    photo_asked,
    taking,
)
from refmatch.errors import UsageError

app = typer.Typer(
    help="Teach a class: one photo and lesson, every student's own box.",
    cls=help.Commands,
    no_args_is_help=True,
    context_settings=help.HELP,
    rich_markup_mode=None,
)

ClassFolder = Annotated[Path, typer.Argument(metavar="FOLDER", help="The class's folder.")]


@app.command(
    "new",
    epilog="Example: refmatch class new tuesday sample_images/garden-table.jpg --families 6",
    cls=help.Command,
    context_settings=help.HELP,
)
@taking("photo", photo_asked)
def new(
    folder: Annotated[
        Path, typer.Argument(metavar="FOLDER", help="The class's folder, to be made.")
    ],
    *,
    photo: Any,
    hole: Holes = None,
    families: FamilyCount = None,
    box: BoxFile = None,
    name: Annotated[
        str | None, typer.Option(metavar="TEXT", help="What to call the class; else as its folder.")
    ] = None,
    title: Annotated[
        str | None, typer.Option(metavar="TEXT", help="What to call the lesson; else as its photo.")
    ] = None,
    plan: Annotated[
        bool | None,
        typer.Option(
            "--plan/--no-plan",
            help="Key the picture by a plan; a painting's own is kept if unsaid.",
            show_default=False,
        ),
    ] = None,
    no_key: NoKey = None,
    canvas: Annotated[
        str | None,
        typer.Option(metavar="WxH", help="Everybody's canvas, 40x30 or 16x20in: how much paint."),
    ] = None,
    as_json: Json = False,
) -> None:
    """Begin a class with a photo, or with a painting's folder; the box given is the tutor's."""
    import dataclasses

    from refmatch.atelier.roll import begin, check_free
    from refmatch.cli import asking, say
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import bar

    check_free(folder)
    opened = asking.with_box(asking.open_asked(photo), box)
    opened = asking.with_canvas(opened, canvas)
    opened = asking.with_plan_of_sheet(opened, plan, None, no_key)
    opened = asking.with_holes(opened, hole, families)
    asked = dataclasses.replace(opened.asked, title=title) if title else opened.asked
    with bar() as progress:
        made = opened.reckon(asked, progress)
        pictures = opened.drawn(made)
    called = name or folder.resolve().name
    others = [opened.others[each.sha256] for each in made.asked.photos]
    roll = begin(folder, called, opened.path, made, pictures, others=others)
    flags = (*made.flags, *made.balance.flags)
    if as_json:
        labels = [target.label for target in made.targets]
        print_json({"class": folder, "name": roll.name, "targets": labels}, flags)
    else:
        print(f"The class '{roll.name}' is begun in {folder}: {len(made.targets)} targets.")
        print(f"Add its students: refmatch class add {folder} --student NAME --tube PW6 ...")
        say.cautions(flags)


@app.command(
    "add",
    epilog="Example: refmatch class add tuesday --student Ben --box garden-table",
    cls=help.Command,
    context_settings=help.HELP,
)
def add(
    folder: ClassFolder,
    student: Annotated[
        str | None, typer.Option(metavar="NAME", help="A student's name, or a number.")
    ] = None,
    tube: Annotated[
        list[str] | None,
        typer.Option(metavar="PIGMENT[=NAME]", help="A tube of the student's; repeatable."),
    ] = None,
    box: Annotated[
        Path | None,
        typer.Option(
            "--box",
            metavar="BOX",
            help="Instead of tubes: a box file, or a name from 'refmatch box list'.",
        ),
    ] = None,
    grade: Annotated[
        str, typer.Option(metavar="student|artist", help="A student's line of paint is weaker.")
    ] = "artist",
    everybody: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE",
            help="Many at once: a .csv with a row each, name and tubes or a box; or a .toml.",
        ),
    ] = None,
    replace: Replace = False,
    as_json: Json = False,
) -> None:
    """Add a student with tubes or a box, or everybody from one list."""
    from refmatch.atelier import roll
    from refmatch.cli.json import print_json

    if (student is None) == (everybody is None):
        raise UsageError("Add one --student, or --everybody from a list.")
    if everybody is not None:
        if tube or box is not None:
            raise UsageError("--everybody has each student's tubes in its list; leave others out.")
        fresh, beside = list(roll.students_of(everybody)), everybody.parent
    else:
        assert student is not None
        if bool(tube) == (box is not None):
            raise UsageError(f"Say which tubes '{student}' has: --tube PIGMENT, or a --box.")
        fresh = [roll.student_said(student, tube or (), str(box) if box else "", grade)]
        beside = Path()
    now = roll.add(folder, fresh, anew=replace, beside=beside)
    if as_json:
        print_json({"class": folder, "name": now.name, "students": list(now.students)})
    else:
        print(f"{', '.join(one.name for one in fresh)}: in the class '{now.name}'.")


@app.command(
    "mix",
    epilog="Example: refmatch class mix tuesday",
    cls=help.Command,
    context_settings=help.HELP,
)
def mix(folder: ClassFolder, as_json: Json = False) -> None:
    """Mix the lesson from every box: how near the class comes, and which tubes to lend."""
    from refmatch.atelier.mixes import lesson_of
    from refmatch.cli import say, say_class
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import bar
    from refmatch.encode.atelier_form import lesson_form

    with bar() as progress:
        lesson = lesson_of(folder, progress)
    if as_json:
        print_json({"class": folder, **lesson_form(lesson)}, lesson.flags)
    else:
        for line in say_class.lesson(lesson):
            print(line)
        say.cautions(lesson.flags)


@app.command(
    "print",
    epilog="Example: refmatch class print tuesday",
    cls=help.Command,
    context_settings=help.HELP,
)
def print_all(
    folder: ClassFolder,
    out: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", help="Where to write; the class's 'prints' if unsaid."),
    ] = None,
    paper: Annotated[str, typer.Option(metavar="PAPER", help="a4 or letter.")] = "a4",
    values: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE.json",
            help="The layout of a value finder made for this printer: its greys for the strips.",
        ),
    ] = None,
    replace: Replace = False,
    as_json: Json = False,
) -> None:
    """Print a hand-out for every student, and the tutor's sheet with all answers."""
    from refmatch.atelier.mixes import lesson_of
    from refmatch.atelier.roll import PRINTS, read_roll
    from refmatch.cli import say
    from refmatch.cli.json import print_json
    from refmatch.cli.progress import bar
    from refmatch.dabs.card import size_mm
    from refmatch.dabs.value_finder import compose, read_finder
    from refmatch.encode.atelier_form import lesson_form
    from refmatch.sheet.handout_files import check_places, print_class

    size_mm(paper)
    finder = compose(paper) if values is None else read_finder(values)
    steps = [(step.value, step.sent) for step in finder.strip]
    names = [student.name for student in read_roll(folder).students]
    place = out or folder / PRINTS
    check_places(names, place, replace=replace)
    with bar() as progress:
        lesson = lesson_of(folder, progress)
        files = print_class(lesson, place, paper, progress, steps)
    if as_json:
        print_json({"class": folder, **lesson_form(lesson), "files": list(files)}, lesson.flags)
    else:
        print(f"The tutor's sheet: {files[0]}")
        print(f"All hand-outs in one: {files[1]}")
        print(f"One each: {', '.join(path.name for path in files[2:])}")
        say.cautions(lesson.flags)

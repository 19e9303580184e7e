"""`setpiece plan`: where to sit, which lens, what light, what to get; before the match."""

from __future__ import annotations

from typing import Annotated

import typer

from setpiece.cli import plan_sheet
from setpiece.cli.options import HERE, AsJson, MatchName, WorkspaceDir
from setpiece.cli.plan_options import (
    GroundFile,
    Lenses,
    Pixels,
    Seats,
    SensorSize,
    Shutter,
    Svg,
    Zone,
    place_of,
    print_answer,
    write_svg,
)

app = typer.Typer(
    help="Where to sit, which lens, what light, what to get. With a workspace the match's own "
    "ground, seats and lenses are taken.",
    no_args_is_help=True,
)


@app.command("seat")
def seat(
    seat: Seats = None,
    lens: Lenses = None,
    ground: GroundFile = None,
    sensor: SensorSize = "36x24",
    pixels: Pixels = "6000x4000",
    as_json: AsJson = False,
    svg: Svg = None,
    compare: Annotated[bool, typer.Option(help="Draw the seats side by side instead.")] = False,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Compare seats: what their lenses hold, what is hidden.

    A lens holds a place when a 1.8 m player there fills 40 to 90 % of the frame's height, the
    camera held either way. The origin is the middle of the near goal line; x runs along it, y
    into the pitch.

    Example: setpiece plan seat --seat=-14,-5,1.15 --seat 17,-5 --lens 400/2.8 --lens 70-200/2.8
    """
    from setpiece.cli import plan_tables
    from setpiece.plan.answers.seat import seat_answer
    from setpiece.plan.drawings.seat import draw_comparison, draw_seat
    from setpiece.plan.seat import compare as side_by_side
    from setpiece.plan.typed import read_sensor

    there = place_of(ground, workspace, match)
    place, seats, lenses = there.ground, there.seats(seat), there.lenses(lens)
    chip = read_sensor(sensor, pixels)
    print_answer(seat_answer(place, seats, chip, lenses), plan_tables.seat, as_json)
    if svg:
        drawing = (
            draw_comparison(side_by_side(place, seats, chip, lenses))
            if compare
            else draw_seat(place, seats, chip, lenses)
        )
        write_svg(drawing, svg)


@app.command("penalty")
def penalty(
    focal: Annotated[float, typer.Option(help="Focal length in mm.")],
    seat: Annotated[
        str, typer.Option(help="X,Y,H in metres, or a seat's name; else the file's first.")
    ] = "",
    fps: Annotated[float, typer.Option(help="Frames per second.")] = 20,
    speed: Annotated[float, typer.Option(help="Speed of the ball as it is struck, m/s.")] = 28,
    orientation: Annotated[str, typer.Option(help="landscape or portrait.")] = "landscape",
    shutter: Annotated[str, typer.Option(help="Shutter speed to take off; none counted.")] = "",
    aim: Annotated[str, typer.Option(help="Where the ball crosses the line: X,HEIGHT.")] = "0,1.22",
    kind: Annotated[str, typer.Option(help="penalty, free-kick or header.")] = "penalty",
    start: Annotated[
        str, typer.Option("--from", help="Where it is struck, from that goal: X,Y or X,Y,Z.")
    ] = "",
    end: Annotated[str, typer.Option(help="The goal it is struck at: near or far.")] = "near",
    drag: Annotated[float, typer.Option(help="Drag coefficient of the ball.")] = 0.2,
    mass: Annotated[float, typer.Option(help="Mass of the ball in kg.")] = 0.43,
    ground: GroundFile = None,
    sensor: SensorSize = "36x24",
    pixels: Pixels = "6000x4000",
    as_json: AsJson = False,
    svg: Svg = None,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Count the frames that hold striker and ball.

    Prints the chance of each number of frames (the shutter's phase is unknown), where the ball
    leaves the frame, and the longest focal length that keeps 1, 2, 3 ... frames for certain.
    The same for the other goal, since a shoot-out may be at either. Both count as points and
    the camera is aimed at its best.

    Example: setpiece plan penalty --seat=-14,-5,1.15 --focal 200 --fps 20 --speed 28
    """
    from setpiece.cli import plan_tables
    from setpiece.plan.answers.penalty import penalty_answer
    from setpiece.plan.camera import Camera
    from setpiece.plan.drawings.penalty import draw_penalty
    from setpiece.plan.flight import Ball
    from setpiece.plan.optics import Orientation
    from setpiece.plan.pitch import End
    from setpiece.plan.typed import choose, read_kick, read_sensor, read_shutter

    there = place_of(ground, workspace, match)
    place = there.ground
    struck = read_kick(
        kind, start, aim, speed, Ball(mass, drag), place.pitch, choose(End, end, "an end")
    )
    camera = Camera(
        there.seats([seat] if seat else None)[0],
        focal,
        choose(Orientation, orientation, "a way to hold a camera"),
        fps,
        read_shutter(shutter) if shutter else 0.0,
        read_sensor(sensor, pixels),
    )
    print_answer(penalty_answer(place, camera, struck), plan_tables.penalty, as_json)
    if svg:
        write_svg(draw_penalty(place, camera, struck), svg)


@app.command("lens")
def lens(
    lens: Annotated[str, typer.Option("--lens", help="400/2.8, 70-200/2.8 or 300/2.8x1.4.")],
    focal: Annotated[float, typer.Option(help="Where a zoom stands, mm; else its longest.")] = 0,
    distance: Annotated[list[float] | None, typer.Option(help="Distance in m.")] = None,
    shutter: Shutter = "1/1000",
    fps: Annotated[float, typer.Option(help="Frames per second.")] = 20,
    speed: Annotated[float, typer.Option(help="Speed of a runner, m/s.")] = 8.5,
    blur: Annotated[float, typer.Option(help="Blur one accepts, pixels.")] = 2,
    streak: Annotated[float, typer.Option(help="Streak wanted when panning, pixels.")] = 300,
    mains: Annotated[float, typer.Option(help="Frequency of the mains, Hz.")] = 50,
    flicker: Annotated[float, typer.Option(help="Flicker factor of the floodlights.")] = 0.05,
    readout: Annotated[float, typer.Option(help="Readout of the electronic shutter, s.")] = 0.00479,
    sensor: SensorSize = "36x24",
    pixels: Pixels = "6000x4000",
    as_json: AsJson = False,
    svg: Svg = None,
) -> None:
    """Show what a lens does at each distance.

    Size, sharpness, blur, panning, flicker.

    Example: setpiece plan lens --lens 400/2.8 --distance 20 --distance 40 --shutter 1/1600
    """
    from setpiece.cli import plan_tables
    from setpiece.plan.answers.lens import AtWork, lens_answer
    from setpiece.plan.drawings.lens import DISTANCES_M, draw_lens
    from setpiece.plan.typed import read_lens, read_sensor, read_shutter

    glass, chip = read_lens(lens), read_sensor(sensor, pixels)
    used_mm = focal or glass.focal_lengths_mm[1]
    distances = tuple(distance or DISTANCES_M)
    work = AtWork(read_shutter(shutter), fps, speed, blur, streak, mains, flicker, readout)
    print_answer(lens_answer(chip, glass, used_mm, distances, work), plan_tables.lens, as_json)
    if svg:
        write_svg(draw_lens(chip, used_mm, glass.widest_f_number, distances), svg)


@app.command("light")
def light(
    date: Annotated[
        str, typer.Option(help="The date at the ground, 2027-03-06; else the match's.")
    ] = "",
    kick_off: Annotated[
        str, typer.Option(help="Kick-off on the ground's clock; else the match's, or 15:00.")
    ] = "",
    ground: GroundFile = None,
    latitude: Annotated[float | None, typer.Option(help="Degrees, north positive.")] = None,
    longitude: Annotated[float | None, typer.Option(help="Degrees, east positive.")] = None,
    bearing: Annotated[
        float | None, typer.Option(help="From the near goal to the far one, degrees from north.")
    ] = None,
    zone: Zone = "",
    stand: Annotated[
        list[str] | None,
        typer.Option(help="SIDE:HEIGHT:SET-BACK:ROOF-EDGE in m; side left, right, near or far."),
    ] = None,
    extra_time: Annotated[bool, typer.Option(help="Go on through extra time.")] = False,
    seat: Seats = None,
    as_json: AsJson = False,
    svg: Svg = None,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Show sun and shadows through the match.

    Sunset, twilight, and when floodlights rule.

    Example: setpiece plan light --date 2027-03-06 --kick-off 15:30 --latitude 47.21
    --longitude 15.37 --bearing 74 --zone Europe/Vienna --stand right:15:7.5:8.5
    """
    from dataclasses import replace

    from setpiece.cli import plan_tables
    from setpiece.errors import WrongUse
    from setpiece.plan.answers.light import light_answer
    from setpiece.plan.drawings.light import draw_light
    from setpiece.plan.light import match_day
    from setpiece.plan.typed import read_local, read_stand, read_zone

    there = place_of(ground, workspace, match)
    place = there.ground
    place = replace(
        place,
        latitude_deg=place.latitude_deg if latitude is None else latitude,
        longitude_deg=place.longitude_deg if longitude is None else longitude,
        bearing_deg=place.bearing_deg if bearing is None else bearing,
        time_zone=zone or place.time_zone,
        stands=(*place.stands, *(read_stand(text) for text in stand or ())),
    )
    clock = read_zone(place.time_zone)
    seats = there.seats(seat) if seat or there.day or place.seats else ()
    if date:
        start = read_local(date, kick_off or "15:00", clock)
    elif there.day is not None and not kick_off:
        start = there.day.fixture.kick_off
    else:
        raise WrongUse("no date given", next_step="Give --date as 2027-03-06.")
    day = match_day(place, start, clock, extra_time=extra_time)
    print_answer(light_answer(place, day, clock, seats), plan_tables.light, as_json)
    if svg:
        write_svg(draw_light(place, day, clock), svg)


@app.command("exposure")
def exposure(
    lux: Annotated[float | None, typer.Option(help="Light on the upright plane, lx.")] = None,
    metered: Annotated[
        str, typer.Option(help="A metered value instead: SHUTTER,F-NUMBER,ISO, as 1/500,2.8,3200.")
    ] = "",
    lens: Lenses = None,
    shutter: Shutter = "1/1000",
    iso: Annotated[float | None, typer.Option(help="Give the shutter at this ISO too.")] = None,
    mains: Annotated[float, typer.Option(help="Frequency of the mains, Hz.")] = 50,
    ground: GroundFile = None,
    as_json: AsJson = False,
    svg: Svg = None,
    workspace: WorkspaceDir = HERE,
    match: MatchName = None,
) -> None:
    """Show the ISO each lens needs in the light there is.

    And what rule books ask of a ground.

    Example: setpiece plan exposure --lux 820 --lens 400/2.8 --lens 70-200/2.8 --shutter 1/1250
    """
    from setpiece.cli import plan_tables
    from setpiece.errors import WrongUse
    from setpiece.plan.answers.exposure import exposure_answer
    from setpiece.plan.drawings.exposure import draw_exposure
    from setpiece.plan.typed import read_metered, read_shutter

    there = place_of(ground, workspace, match)
    lenses = there.lenses(lens)
    level = read_metered(metered) if metered else lux or there.ground.floodlight_lx
    if level is None:
        raise WrongUse(
            "no light given", next_step="Give --lux, --metered or a ground with floodlight_lx."
        )
    exposure_s = read_shutter(shutter)
    answer = exposure_answer(level, lenses, exposure_s, mains, iso)
    print_answer(answer, plan_tables.exposure, as_json)
    if svg:
        write_svg(draw_exposure(lenses, exposure_s, level), svg)


app.command("sheet")(plan_sheet.sheet)

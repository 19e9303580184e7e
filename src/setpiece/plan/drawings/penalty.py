"""The strike: where camera, striker and ball stand, what the frame shows, how many frames."""

from __future__ import annotations

import math
from collections.abc import Callable

from setpiece.plan.camera import Aim, Camera, aim_at, aim_between, on_frame
from setpiece.plan.drawings import canvas
from setpiece.plan.drawings.canvas import Drawing, percent
from setpiece.plan.drawings.ground_map import (
    GroundMap,
    arc_path,
    goal,
    north_arrow,
    seat_mark,
)
from setpiece.plan.flight import Kick
from setpiece.plan.ground import Block, Ground
from setpiece.plan.optics import PLAYER_HEIGHT_M, angle_of_view_deg
from setpiece.plan.penalty import Held, held
from setpiece.plan.pitch import (
    GOAL_HEIGHT_M,
    GOAL_WIDTH_M,
    PENALTY_AREA_M,
    End,
    Line,
    Point,
    markings,
    marks,
)
from setpiece.plan.typed import write_shutter

WIDTH = 480.0
MAP_HEIGHT = 300.0
ROOM_M = 2.5
SEAT_SHOWN_M = 48.0


def draw_penalty(ground: Ground, camera: Camera, kick: Kick) -> Drawing:
    """A penalty, a free kick or a header as one camera gets it."""
    got = held(camera, kick)
    last = kick.at_distance(got.ball_m)
    aim = aim_between(camera.seat, kick.start, last)
    y = canvas.HEAD + 12
    plan, plan_foot = _plan(ground, camera, kick, got, aim, y)
    shown = _whole_striker(camera, kick, got, aim)
    frame, frame_foot = _frame(ground, camera, kick, got, shown, plan_foot + 30)
    bars, foot = _bars(got, plan_foot + 30, camera)
    lead = (
        f"{kick.launch_speed_m_s:g} m/s, {camera.focal_length_mm:g} mm {camera.orientation}, "
        f"{camera.frames_per_s:g} frames/s, {_shutter(camera)}"
    )
    goal = _goal_of(ground, kick)
    name = f"{kick.what[0].upper()}{kick.what[1:]}, {ground.end_name(goal)}"
    return Drawing(
        WIDTH,
        max(frame_foot, foot) + 14,
        f"{name}, from {camera.seat.name}",
        f"Striker and ball share the frame for {got.window_s:.3f} s: {got.mean:.1f} frames.",
        canvas.masthead(WIDTH, f"{name}, from {camera.seat.name}", lead) + plan + frame + bars,
    )


def _goal_of(ground: Ground, kick: Kick) -> End:
    """The goal that is struck at."""
    return End.NEAR if kick.target.y_m < ground.pitch.length_m / 2 else End.FAR


def _shutter(camera: Camera) -> str:
    return write_shutter(camera.exposure_s) + " s" if camera.exposure_s else "no exposure counted"


def frame_times(camera: Camera, kick: Kick) -> list[float]:
    """The instants of the frames of a flight, the first half a frame after the strike."""
    step = 1 / camera.frames_per_s
    whole = math.ceil(kick.flight_s * camera.frames_per_s)
    return [t for n in range(whole) if (t := (n + 0.5) * step) < kick.flight_s]


def _plan(
    ground: Ground, camera: Camera, kick: Kick, got: Held, aim: Aim, top: float
) -> tuple[str, float]:
    """From above: seat, angle of view, the ball's way."""
    window, goal_of = _window(ground, camera, kick), _goal_of(ground, kick)
    scale = min(
        (WIDTH - 32) / (window.right_m - window.left_m),
        MAP_HEIGHT / (window.top_m - window.bottom_m),
    )
    spare = (WIDTH - 32) / scale - (window.right_m - window.left_m)
    left_m = window.left_m - spare / 2
    foot = top + (window.top_m - window.bottom_m) * scale
    half = ground.pitch.half_width_m
    map_ = GroundMap(ground, 16 - (left_m + half) * scale, foot + window.bottom_m * scale, scale)
    parts = [
        canvas.clip_rect(f"plan-{goal_of}", 16, top, WIDTH - 32, foot - top),
        canvas.group(
            map_.block(Block(-half, half, 0, ground.pitch.length_m, 0), "turf"),
            *_lines(map_),
            *(goal(map_, end) for end in End),
            *(map_.block(ground.boards_block(b), "boards") for b in ground.boards),
            _view(map_, camera, aim),
            map_.outline([kick.start, kick.target], "way", closed=False),
            clip=f"plan-{goal_of}",
        ),
        *_balls_above(map_, camera, kick, got),
        canvas.circle(*map_.place(kick.start), 4.2, "figure"),
        _seat(map_, camera, kick, foot),
        canvas.line(16, foot, WIDTH - 16, foot, "rule"),
        north_arrow(WIDTH - 34, top + 34, ground.bearing_deg),
    ]
    if got.leaves_at is not None:
        parts.append(_leaving(map_, kick, got))
    return canvas.group(*parts), foot


def _seat_shown(camera: Camera, kick: Kick) -> bool:
    """Whether the seat is near enough to stand on the plan."""
    return camera.seat.distance_m(kick.start) <= SEAT_SHOWN_M


def _window(ground: Ground, camera: Camera, kick: Kick) -> Block:
    """The part of the ground that the plan shows: about the strike, with the seat if near."""
    near = kick.target.y_m < ground.pitch.length_m / 2
    goal_line = 0.0 if near else ground.pitch.length_m
    inwards = 1 if near else -1
    xs = [kick.start.x_m, kick.target.x_m, -12.0, 12.0]
    ys = [kick.start.y_m + 3 * inwards, goal_line - 2 * inwards,
          goal_line + inwards * (PENALTY_AREA_M + 1)]  # fmt: skip
    if _seat_shown(camera, kick):
        xs.append(camera.seat.x_m)
        ys.append(camera.seat.y_m)
    return Block(min(xs) - ROOM_M, max(xs) + ROOM_M, min(ys) - ROOM_M, max(ys), 0)


def _seat(map_: GroundMap, camera: Camera, kick: Kick, foot: float) -> str:
    """The seat, or how far away it is when it lies beyond the plan."""
    if _seat_shown(camera, kick):
        return seat_mark(map_, camera.seat, "A")
    away = camera.seat.distance_m(kick.start)
    return canvas.text(20, foot - 8, f"seat A is {away:.0f} m from the strike", "note halo")


def _lines(map_: GroundMap) -> list[str]:
    found = [
        map_.outline(marking, "mark", closed=False)
        if isinstance(marking, Line)
        else arc_path(map_, marking, "mark")
        for marking in markings(map_.ground.pitch)
    ]
    return found + [canvas.circle(*map_.place(m), 1.8, "spot") for m in marks(map_.ground.pitch)]


def _view(map_: GroundMap, camera: Camera, aim: Aim) -> str:
    """The angle of view on the ground."""
    across_mm = camera.sensor.sides_mm(camera.orientation)[0]
    half = angle_of_view_deg(across_mm, camera.focal_length_mm) / 2
    seat = camera.seat
    edges = [
        Point(
            seat.x_m + 200 * math.sin(math.radians(aim.pan_deg + turn)),
            seat.y_m + 200 * math.cos(math.radians(aim.pan_deg + turn)),
        )
        for turn in (-half, half)
    ]
    return map_.outline([seat.lens, *edges], "view")


def _balls_above(map_: GroundMap, camera: Camera, kick: Kick, got: Held) -> list[str]:
    """The ball at every frame: full while it shares the frame, else open."""
    return [
        canvas.circle(
            *map_.place(kick.at_time(t)), 3.2, "ball" if t <= got.window_s else "ball-out"
        )
        for t in frame_times(camera, kick)
    ]


def _leaving(map_: GroundMap, kick: Kick, got: Held) -> str:
    """Where the ball leaves the frame, in words beside the place."""
    x, y = map_.place(kick.at_distance(got.ball_m))
    side = -1 if x > WIDTH / 2 else 1
    return canvas.line(x, y, x + side * 22, y, "tick") + canvas.text(
        x + side * 26,
        y + 4,
        f"out of the frame: {got.ball_m:.1f} m, {got.window_s * 1000:.0f} ms",
        "name halo",
        anchor="end" if side < 0 else "start",
    )


def _whole_striker(camera: Camera, kick: Kick, got: Held, aim: Aim) -> Aim:
    """The best aim, tilted so that the striker is whole where the frame is high enough."""
    up_mm = camera.sensor.sides_mm(camera.orientation)[1]
    head = kick.start._replace(z_m=max(kick.start.z_m, PLAYER_HEIGHT_M))
    points = [head, kick.start._replace(z_m=0), kick.at_distance(got.ball_m)]
    tilts = [aim_at(camera.seat, point).tilt_deg for point in points]
    fits_deg = angle_of_view_deg(up_mm, camera.focal_length_mm)
    if max(tilts) - min(tilts) > 0.94 * fits_deg:
        return aim
    return Aim(aim.pan_deg, (max(tilts) + min(tilts)) / 2)


def _frame(
    ground: Ground, camera: Camera, kick: Kick, got: Held, aim: Aim, top: float
) -> tuple[str, float]:
    """The frame itself at the end of the window, with the ball at every frame."""
    goal_of = _goal_of(ground, kick)
    across_mm, up_mm = camera.sensor.sides_mm(camera.orientation)
    room_wide, room_high = 262.0, 190.0
    scale = min(room_wide / across_mm, room_high / up_mm)
    wide, high = across_mm * scale, up_mm * scale
    middle_x, middle_y = 16 + wide / 2, top + high / 2

    def at(point: Point) -> tuple[float, float] | None:
        place = on_frame(camera.seat, aim, camera.focal_length_mm, point)
        if place is None:
            return None
        return middle_x + place.right_mm * scale, middle_y - place.up_mm * scale

    inside = [*_goal_seen(ground, at)]
    foot, head = at(kick.start._replace(z_m=0)), at(kick.start._replace(z_m=PLAYER_HEIGHT_M))
    if foot and head:
        inside.append(canvas.figure(foot[0], foot[1], foot[1] - head[1]))
    for t in frame_times(camera, kick):
        ball = at(kick.at_time(t))
        if ball:
            inside.append(
                canvas.circle(*ball, _ball_radius(camera, kick, t, scale),
                              "ball" if t <= got.window_s else "ball-out")
            )  # fmt: skip
    horizon = at(Point(camera.seat.x_m + 900 * math.sin(math.radians(aim.pan_deg)),
                       camera.seat.y_m + 900 * math.cos(math.radians(aim.pan_deg))))  # fmt: skip
    grass = horizon[1] if horizon else top
    return (
        canvas.group(
            canvas.clip_rect(f"frame-{goal_of}", 16, top, wide, high),
            canvas.rect(16, top, wide, high, "frame"),
            canvas.group(
                canvas.rect(16, max(top, grass), wide, top + high - max(top, grass), "turf"),
                *inside,
                clip=f"frame-{goal_of}",
            ),
            canvas.text(16, top - 8, "the frame", "caps"),
        ),
        top + high,
    )


def _ball_radius(camera: Camera, kick: Kick, time_s: float, scale: float) -> float:
    """The ball to scale, but large enough to see."""
    far = camera.seat.distance_m(kick.at_time(time_s))
    return max(2.2, 0.11 / far * camera.focal_length_mm * scale)


def _goal_seen(ground: Ground, at: Callable[[Point], tuple[float, float] | None]) -> list[str]:
    """Posts and bar of both goals as the camera sees them."""
    half, found = GOAL_WIDTH_M / 2, []
    for end in End:
        uprights = [
            Point(-half, 0, 0),
            Point(-half, 0, GOAL_HEIGHT_M),
            Point(half, 0, GOAL_HEIGHT_M),
            Point(half, 0, 0),
        ]
        seen = [place for p in uprights if (place := at(ground.pitch.at(end, p)))]
        if len(seen) == len(uprights):
            found.append(canvas.path(seen, "goal"))
    return found


def _bars(got: Held, top: float, camera: Camera) -> tuple[str, float]:
    """The chance of each number of frames."""
    x = 302.0
    parts = [canvas.text(x, top - 8, "frames with both", "caps")]
    y = top + 16
    parts.append(canvas.text(x, y, f"{got.mean:.1f} on average", "big"))
    y += 12
    for count, chance in got.frames.items():
        y += 22
        parts += [
            canvas.text(x, y, f"{count}", "name"),
            canvas.rect(x + 20, y - 9, 92, 10, "bar-rest"),
            canvas.rect(x + 20, y - 9, 92 * chance, 10, "bar"),
            canvas.text(x + 118, y, percent(chance)),
        ]
    y += 26
    for words in (
        f"together for {got.window_s * 1000:.0f} ms",
        f"of {got.flight_s * 1000:.0f} ms of flight;",
        "the shutter's phase is chance.",
        "Open balls: no longer together.",
        "Both are points: leave room.",
    ):
        parts.append(canvas.text(x, y, words, "note"))
        y += 14
    return canvas.group(*parts), y

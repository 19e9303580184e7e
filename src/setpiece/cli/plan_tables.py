"""The answers of `setpiece plan` as short plain tables in the terminal."""

from __future__ import annotations

from collections.abc import Iterable

from rich import box
from rich.console import Console
from rich.table import Table

from setpiece.plan.answers import CautionSaid
from setpiece.plan.answers.exposure import ExposureAnswer
from setpiece.plan.answers.lens import LensAnswer
from setpiece.plan.answers.light import LightAnswer
from setpiece.plan.answers.penalty import EndAnswer, PenaltyAnswer
from setpiece.plan.answers.seat import SeatAnswer
from setpiece.plan.answers.sheet import SheetAnswer
from setpiece.plan.typed import write_shutter

NOTHING = "–"
WAYS = ("landscape", "portrait")
PRINTED_MOVEMENTS = ("sprint", "kicked ball", "aimed kick", "headed ball")


def seat(answer: SeatAnswer) -> None:
    """Coverage of each seat, then the seats side by side."""
    out = Console(highlight=False)
    for one in answer["seats"]:
        out.print(
            f"\n{one['name']}  ({one['x_m']:g}, {one['y_m']:g}), lens {one['lens_height_m']:g} m up"
        )
        _table(
            out,
            ("lens", "holds from", "to", "of the pitch"),
            (
                (r["lens"], f"{r['nearest_m']:.0f} m", f"{r['farthest_m']:.0f} m",
                 _percent(r["share_of_pitch"]))
                for r in one["lenses"]
            ),
        )  # fmt: skip
        hidden = ", ".join(
            f"{cause} {_percent(share, 1)}"
            for cause, share in one["share_hidden"].items()
            if share >= 0.0005
        )
        out.print(
            f"Together {_percent(one['share_together'])}, two at once "
            f"{_percent(one['share_overlap'])}. Hidden at chest height: {hidden or 'nothing'}."
        )
        if not one["in_a_zone"]:
            out.print("This seat lies outside the zones where the bib allows work.")
        if not one["grass_shows"]:
            out.print(
                "The boards before it are as high as the lens: no grass shows. At "
                f"{one['lens_height_for_grass_m']:.2f} m it would from 10 m on."
            )
        elif one["grass_from_m"]:
            out.print(f"Over the boards the grass shows from {one['grass_from_m']:.1f} m on.")
    names = [one["name"] for one in answer["seats"]]
    out.print("\nSeats side by side: right size, free sight, face to the camera")
    _table(
        out,
        ("", *names),
        (
            (row["name"], *(_percent(row["shares"][name]) for name in names))
            for row in answer["situations"]
        ),
    )
    _cautions(out, answer["cautions"])


def penalty(answer: PenaltyAnswer) -> None:
    """The frames at both goals, by speed, and the longest focal lengths."""
    out = Console(highlight=False)
    out.print(
        f"\n{answer['kick'].capitalize()} at {answer['speed_m_s']:g} m/s, "
        f"{answer['focal_length_mm']:g} mm {answer['orientation']}, "
        f"{answer['frames_per_s']:g} frames/s"
    )
    ends = (answer, answer["other_end"])
    _table(
        out,
        ("", *(f"{one['end']} goal" for one in ends)),
        (
            ("frames with both", *(_chances(one["frames"]) for one in ends)),
            ("on average", *(f"{one['mean']:.2f}" for one in ends)),
            ("both in the frame", *(f"{1000 * one['window_s']:.0f} ms" for one in ends)),
            ("flight", *(f"{1000 * one['flight_s']:.0f} ms" for one in ends)),
            ("ball leaves after", *(_leaves(one) for one in ends)),
            ("striker's height fills", *(_percent(one["striker_share_of_height"]) for one in ends)),
            (
                "striker hidden by",
                *(", ".join(one["striker_hidden_by"]) or NOTHING for one in ends),
            ),
        ),
    )
    out.print("\nLongest focal length for that many frames whatever the phase")
    near, far = (one["longest_focal_length_mm"] for one in ends)
    _table(
        out,
        ("frames", *(f"{one['end']}, {way}" for one in ends for way in WAYS)),
        (
            (k, *(_mm(table.get(k, {}).get(way)) for table in (near, far) for way in WAYS))
            for k in sorted({*near, *far}, key=int)
        ),
    )
    out.print("\nFrames on average by the speed of the ball")
    speeds = answer["mean_by_speed"]["landscape"]
    _table(
        out,
        ("m/s", *(f"{one['end']}, {way}" for one in ends for way in WAYS)),
        (
            (s, *(f"{one['mean_by_speed'][way][s]:.1f}" for one in ends for way in WAYS))
            for s in speeds
        ),
    )
    if len(answer["mean_by_seat"]) > 1:
        out.print("\nFrames on average from each seat of the ground")
        _table(
            out,
            ("", *(f"{one['end']} goal" for one in ends)),
            (
                (name, *(f"{means[one['end']]:.1f}" for one in ends))
                for name, means in answer["mean_by_seat"].items()
            ),
        )
    out.print("Striker and ball count as points: leave them room in the frame.")
    _cautions(out, answer["cautions"])


def lens(answer: LensAnswer) -> None:
    """Size, sharpness and shutter speeds by distance."""
    out = Console(highlight=False)
    angle, (near, far) = answer["angle_of_view_deg"], answer["holds_player_m"]
    out.print(
        f"\n{answer['focal_length_mm']:g} mm at f/{answer['f_number']:g}: "
        f"{angle['width']:.1f}° across, {angle['height']:.1f}° up, {angle['diagonal']:.1f}° corner "
        f"to corner. The lens holds a player from {near:.0f} to {far:.0f} m."
    )
    _table(
        out,
        ("at", "landscape", "portrait", "pixels", "sharp", "run", "streak"),
        (
            (
                f"{d['distance_m']:g} m",
                _percent(d["share_of_height"]["landscape"]),
                _percent(d["share_of_height"]["portrait"]),
                f"{d['player_px']:.0f}",
                _sharp(d["sharp_from_m"], d["sharp_to_m"]),
                f"{d['sharp_frames_of_a_run']:.1f}",
                write_shutter(d["exposure_for_streak_s"]),
            )
            for d in answer["distances"]
        ),
    )
    out.print(
        "Of the frame's height, either way; sharp wide open; run: frames of a run at the camera "
        "that are sharp and of the right size with the focus left there; shutter for the streak "
        "wanted when panning."
    )
    out.print(
        f"\nBlur across the view at {write_shutter(answer['exposure_s'])}, and the shutter for "
        f"{answer['accepted_blur_px']:g} pixels of it"
    )
    names, moving = PRINTED_MOVEMENTS, {m["name"]: m for m in answer["movements"]}
    _table(
        out,
        ("", *names),
        (
            ("speed", *(f"{moving[name]['speed_m_s']:g} m/s" for name in names)),
            ("moves", *(f"{moving[name]['blur_cm']:.1f} cm" for name in names)),
            *(
                (
                    f"{d['distance_m']:g} m",
                    *(
                        f"{d['blur_px'][name]:.0f} px, "
                        f"{write_shutter(d['exposure_for_blur_s'][name])}"
                        for name in names
                    ),
                )
                for d in answer["distances"]
            ),
        ),
    )
    run = answer["run_at_camera"]
    out.print(
        f"A run at the camera at {answer['run_speed_m_s']:g} m/s is held for "
        + ", ".join(
            f"{run[way]['in_frame_s']:.1f} s or {run[way]['in_frame_frames']:.0f} frames {way}"
            for way in WAYS
        )
        + "."
    )
    flicker = answer["flicker"]
    steady = ", ".join(write_shutter(t) for t in flicker["steady_exposures_s"])
    out.print(
        f"Flicker at {write_shutter(answer['exposure_s'])}: {flicker['stops_peak_to_peak']:.2f} "
        f"stops from darkest to brightest; none at {steady}. By class of ground: "
        + ", ".join(f"{name} {stops:.2f}" for name, stops in flicker["stops_by_class"].items())
        + "."
    )
    out.print(
        f"Electronic shutter, readout {1000 * answer['readout_s']:.1f} ms: "
        f"{flicker['bands_in_frame']:.1f} bands of flicker; a sprint leans "
        + ", ".join(f"{d['lean_px']:.0f} px at {d['distance_m']:g} m" for d in answer["distances"])
        + "."
    )
    _cautions(out, answer["cautions"])


def light(answer: LightAnswer) -> None:
    """Sun and shadows through the match, then how the light falls from each seat."""
    out = Console(highlight=False)
    through = answer["through"]
    facts = [
        f"{words} {when['clock']}"
        for when, words in (
            (answer["sunset"], "Sunset"),
            (answer["civil_twilight_ends"], "civil twilight ends"),
            (answer["floodlights_rule_from"], "floodlights rule from"),
        )
        if when
    ]
    out.print(f"\n{answer['ground'] or 'The ground'}, {answer['time_zone']}. {', '.join(facts)}")
    stands = [s["stand"] or s["flank"] for s in through[0]["shadow_reach_m"]]
    _table(
        out,
        ("clock", "sun", "from", "in shade", *stands),
        (
            (
                at["clock"],
                f"{at['elevation_deg']:.1f}°",
                f"{at['azimuth_deg']:.0f}°",
                _percent(at["share_in_shadow"]),
                *(
                    f"{s['reach_m']:.0f}±{s['unsure_m']:.1f} m" if s["reach_m"] else NOTHING
                    for s in at["shadow_reach_m"]
                ),
            )
            for at in through
        ),
    )
    for name, looks in through[0]["seats"].items():
        if all(set(at["seats"][name].values()) == {"no sun"} for at in through):
            continue
        out.print(f"\nLight from {name}, looking at")
        _table(
            out,
            ("clock", *looks),
            ((at["clock"], *at["seats"][name].values()) for at in through),
        )
    out.print(
        "In shade: share of the pitch. By stand: how far its shadow reaches on to the pitch, "
        "square to the line, ± for a tenth of a degree. Classes of light are ours."
    )
    _cautions(out, answer["cautions"])


def exposure(answer: ExposureAnswer) -> None:
    """The ISO for each lens, then what rule books ask."""
    out = Console(highlight=False)
    out.print(
        f"\n{answer['illuminance_lx']:g} lx on the upright plane, EV {answer['ev_at_iso_100']:.1f} "
        f"at ISO 100, {write_shutter(answer['exposure_s'])}"
    )
    _table(
        out,
        ("lens", "f", "ISO", "set", "half-sphere", "shutter at the ISO given"),
        (
            (one["lens"], f"{one['f_number']:g}", f"{one['iso']:.0f}",
             f"{one['iso_to_set'] or 'too dark'}", f"{one['iso_half_sphere']:.0f}",
             _shutter(one["exposure_at_iso_s"]))
            for one in answer["lenses"]
        ),
    )  # fmt: skip
    _table(
        out,
        ("asked for by", "lx", "plane", "ISO at f/2.8", "here"),
        (
            (s["who"], f"{s['illuminance_lx']:g}", s["plane"], f"{s['iso_at_f_2_8']:.0f}",
             {True: "reached", False: "not reached", None: NOTHING}[s["reached"]])
            for s in answer["standards"]
        ),
    )  # fmt: skip
    _cautions(out, answer["cautions"])


def sheet(answer: SheetAnswer) -> None:
    """The day's times."""
    out = Console(highlight=False)
    out.print(f"\n{answer['home']} v {answer['away']}, {answer['time_zone']}")
    _table(
        out, ("clock", "what"), ((t["clock"], t["what"]) for t in answer["times"]), figures=False
    )


def _table(
    out: Console, head: Iterable[str], rows: Iterable[Iterable[str]], *, figures: bool = True
) -> None:
    """A table without frames; the first column is text, the others are figures."""
    table = Table(box=box.SIMPLE_HEAD, show_edge=False, pad_edge=False)
    for place, name in enumerate(head):
        table.add_column(name, justify="right" if place and figures else "left")
    for row in rows:
        table.add_row(*row)
    out.print(table)


def _cautions(out: Console, cautions: list[CautionSaid]) -> None:
    out.print()
    for caution in cautions:
        out.print(f"! {caution['text']} ({caution['source']})", style="dim", soft_wrap=True)


def _percent(share: float, digits: int = 0) -> str:
    return f"{100 * share:.{digits}f} %" if share else NOTHING


def _chances(frames: dict[str, float]) -> str:
    return ", ".join(f"{count} ({100 * chance:.0f} %)" for count, chance in frames.items())


def _leaves(one: EndAnswer) -> str:
    if one["ball_leaves_at_m"] is None:
        return "stays in"
    return f"{one['ball_travels_m']:.1f} m"


def _mm(focal_mm: float | None) -> str:
    return NOTHING if focal_mm is None else f"{focal_mm:.0f} mm"


def _shutter(exposure_s: float | None) -> str:
    return NOTHING if exposure_s is None else write_shutter(exposure_s)


def _sharp(from_m: float, to_m: float | None) -> str:
    return f"{from_m:.2f}–{'endless' if to_m is None else f'{to_m:.2f} m'}"

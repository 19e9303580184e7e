"""Typed lines done by the server, taken back, and told to every open page."""

from __future__ import annotations

import http.client
import time
from pathlib import Path

import small_match

from setpiece.send.desk import DeskAddress, Protocol
from setpiece.store.captions import captions_of
from setpiece.store.delivery import State, Urgency
from setpiece.store.forms import to_json
from setpiece.store.frames import Decision, decide, frames_of
from setpiece.store.matches import log_of
from setpiece.store.outbox import StoredDesk, deliveries, save_desk
from setpiece.store.workspace import Workspace


def space_of(page) -> Workspace:
    """The page's workspace, opened apart from it."""
    return Workspace.open(page.made.folder)


def typed(page, line: str, frame: int = 30, **more: object):
    """One line sent for a frame."""
    values = {"line": line, "frame": page.made.frames[frame]} | more
    return page.post(f"{page.match}/line", values)


def decision(page, frame: int) -> Decision:
    """What is decided on a frame."""
    frames = {f.id: f for f in frames_of(space_of(page), page.made.match)}
    return frames[page.made.frames[frame]].decision


def test_a_decision_is_made_and_taken_back(own_page) -> None:
    """`use` puts the opened frame in the set; taking back leaves it as it was."""
    answer = typed(own_page, "use").value
    assert decision(own_page, 30) is Decision.USE
    assert answer["said"] == "A-0031 is in use."
    assert own_page.post(f"{own_page.match}/undo", answer["undo"]).status == 200
    assert decision(own_page, 30) is Decision.NONE


def test_a_decision_changed_since_is_not_taken_back(own_page) -> None:
    """What another screen decided in between stays, and is told."""
    undo = typed(own_page, "use").value["undo"]
    decide(space_of(own_page), own_page.made.match, own_page.made.frames[30], Decision.SPIKE)
    answer = own_page.post(f"{own_page.match}/undo", undo)
    assert answer.status == 422
    assert "changed since" in answer.value["wrong"]["text"]
    assert decision(own_page, 30) is Decision.SPIKE


def test_a_conflict_is_shown(own_page) -> None:
    """A decision that another screen made meanwhile is told with the new one."""
    decide(space_of(own_page), own_page.made.match, own_page.made.frames[30], Decision.SPIKE)
    answer = typed(own_page, "hold", was="").value
    assert "spiked meanwhile" in answer["doubt"]
    assert decision(own_page, 30) is Decision.HOLD


def test_a_caption_is_written_and_the_earlier_one_comes_back(own_page) -> None:
    """A caption written over another is a new version; taking back gives the words before."""
    before = captions_of(space_of(own_page), own_page.made.match)[own_page.made.frames[73]]
    answer = typed(own_page, "9r celebrates with 11r right", 73, version=before.version).value
    assert answer["doubt"] == ""
    now = captions_of(space_of(own_page), own_page.made.match)[own_page.made.frames[73]]
    assert now.version == before.version + 1
    assert own_page.post(f"{own_page.match}/undo", answer["undo"]).status == 200
    again = captions_of(space_of(own_page), own_page.made.match)[own_page.made.frames[73]]
    assert again.caption == before.caption


def test_a_line_that_cannot_be_read_changes_nothing(own_page) -> None:
    """An unknown number is refused at its word, and no caption is written."""
    answer = typed(own_page, "29r celebrates")
    assert answer.status == 422
    assert (answer.value["wrong"]["start"], answer.value["wrong"]["end"]) == (0, 3)
    captions = captions_of(space_of(own_page), own_page.made.match)
    assert own_page.made.frames[30] not in captions


def test_an_entry_is_logged_pinned_and_withdrawn(own_page) -> None:
    """`goal 9b here` is in the log at the frame's time; taking back withdraws it."""
    answer = typed(own_page, "goal 9b here").value
    last = log_of(space_of(own_page), own_page.made.match)[-1]
    assert last.frame == own_page.made.frames[30]
    assert answer["said"] == f"Logged as entry {last.id}: Goal. Ngozi Adembe"
    own_page.post(f"{own_page.match}/undo", answer["undo"])
    assert log_of(space_of(own_page), own_page.made.match)[-1].supersedes == last.id


def test_a_correction_replaces_the_own_goal(own_page) -> None:
    """`correct 4 goal 9b` gives the goal to another and the report follows."""
    assert "Own goal" in own_page.ask(own_page.match).text
    assert typed(own_page, "correct 4 goal 9b").status == 200
    text = own_page.ask(own_page.match).text
    assert "Own goal" not in text
    assert "<b>Goal.</b> Ngozi Adembe" in text
    assert "corrected" in text


def test_found_frames_come_newest_first(own_page) -> None:
    """`find Ostmark` gives the frames whose captions name her, the newest first."""
    answer = typed(own_page, "find ostmark").value
    order = [own_page.made.frames[i] for i in (73, 20, 12)]
    assert answer["frames"] == order
    assert typed(own_page, "find nobody at all").value["said"].startswith("Nothing found")


def test_sending_without_that_desk_says_which_there_are(own_page) -> None:
    """An unknown desk is refused with the names of those there are."""
    answer = typed(own_page, "send south")
    assert answer.status == 404
    assert "gazette, north" in answer.value["wrong"]["next_step"]


def test_a_path_that_is_not_there_is_not_taken_in(own_page) -> None:
    """A card that is not there, or no whole path, is refused."""
    for line in ("take /no/such/card", "take card", "take"):
        assert typed(own_page, line).status == 404


def test_only_the_page_itself_may_act(own_page) -> None:
    """A line from another origin is refused and does nothing."""
    values = {"line": "spike", "frame": own_page.made.frames[30]}
    for origin in ("http://evil.example", "null"):
        answer = own_page.post(f"{own_page.match}/line", values, origin=origin)
        assert answer.status == 403
    assert decision(own_page, 30) is Decision.NONE


def test_another_process_is_heard(own_page) -> None:
    """What another process writes comes over the wire, and what was missed comes first."""
    decide(space_of(own_page), own_page.made.match, own_page.made.frames[3], Decision.HOLD)
    connection = http.client.HTTPConnection("127.0.0.1", own_page.port, timeout=20)
    connection.request("GET", f"{own_page.match}/news?since=0")
    stream = connection.getresponse()
    assert stream.headers["content-type"].startswith("text/event-stream")
    seen = b""
    while b"event: decisions" not in seen:
        seen += stream.readline()
    while own_page.made.frames[3].encode() not in seen:
        seen += stream.readline()
    frame = own_page.made.frames[4]
    decide(space_of(own_page), own_page.made.match, frame, Decision.HOLD)
    while frame.encode() not in seen:
        seen += stream.readline()
    connection.close()


def test_the_standing_tells_which_rows_changed(own_page) -> None:
    """A decision changes the mark of its row and of no other."""
    before = dict(own_page.ask(f"{own_page.match}/standing").value["rows"])
    typed(own_page, "use")
    after = dict(own_page.ask(f"{own_page.match}/standing").value["rows"])
    changed = [key for key in after if after[key] != before.get(key)]
    assert len(changed) == 1
    rows = own_page.ask(f"{own_page.match}/rows?keys={changed[0]}").text
    assert rows.count("<section") == 1
    assert own_page.made.frames[30] in rows


def test_the_margin_is_told_without_the_rows(own_page) -> None:
    """A page that heard of a delivery asks for its margin alone."""
    answer = own_page.ask(f"{own_page.match}/standing?part=margin").value
    assert answer["rows"] == []
    assert "The set" in answer["margin"]


def test_a_first_caption_is_taken_back(own_page) -> None:
    """The frame has no caption again; another one is written as a further version, and goes too."""
    for version in (1, 3):
        undo = typed(own_page, "9r celebrates").value["undo"]
        assert undo["expects"] == str(version)
        assert own_page.post(f"{own_page.match}/undo", undo).status == 200
        shown = own_page.ask(f"{own_page.match}/frame/{own_page.made.frames[30]}").text
        assert "No caption yet" in shown


def test_a_first_caption_that_is_queued_is_not_taken_back(own_page) -> None:
    """What a desk gets has its caption: the page says so, and the caption stays."""
    from setpiece.store.delivery import Delivery, State
    from setpiece.store.outbox import queue
    from setpiece.store.workspace import Workspace

    undo = typed(own_page, "9r celebrates").value["undo"]
    space, of, frame = Workspace.open(own_page.made.folder), own_page.made.match, undo["frame"]
    row = Delivery(0, of.id, frame, 1, "north", "x", "x", "set/a.jpg", "/in", "a.jpg", 10,
                   State.QUEUED, "2027-03-06T15:00:00+00:00")  # fmt: skip
    queue(space, of, row)
    space.close()
    answer = own_page.post(f"{own_page.match}/undo", undo)
    assert answer.status == 422
    assert "queued or sent" in answer.value["wrong"]["text"]


def test_hostile_lines_are_only_text(own_page) -> None:
    """Markup in a note is text in the report."""
    typed(own_page, "note <img src=x onerror=alert(1)>")
    text = own_page.ask(own_page.match).text
    assert "<img src=x" not in text
    assert "&lt;img src=x onerror=alert(1)&gt;" in text
    assert small_match.HOSTILE[0] not in text


def test_a_crop_is_kept_told_and_taken_back(own_page) -> None:
    """`crop 1:1` keeps the largest square; its size is in the credit; undo gives the whole."""
    answer = typed(own_page, "crop 1:1").value
    frame = own_page.made.frames[30]
    text = own_page.ask(f"{own_page.match}/frame/{frame}").text
    assert "Cropped to 1:1, 320 × 320 px." in text
    assert 'data-crop="0.1667,0.0000,0.6667,1.0000"' in text
    own_page.post(f"{own_page.match}/undo", answer["undo"])
    assert "Cropped" not in own_page.ask(f"{own_page.match}/frame/{frame}").text
    for line in ("crop 9", "crop 1:0", "crop 0.5,0.5,0.9,0.9", "crop"):
        assert typed(own_page, line).status == 422


def test_a_request_is_noted_answered_by_what_fits_and_declined(own_page) -> None:
    """A desk's request stands first in the margin with what fits, until it is declined."""
    done = typed(own_page, "ask north 9r celebrates by 17:30").value
    assert done["go"] == "found"
    assert set(done["frames"]) <= set(own_page.made.frames)
    text = own_page.ask(own_page.match).text
    assert text.index("north asks: Freya Ostmark, celebrates") < text.index("The set")
    assert "17:30 CET" in text
    assert typed(own_page, "decline").status == 422
    assert typed(own_page, "decline 1 not shot").status == 200
    assert "north asks" not in own_page.ask(own_page.match).text
    assert typed(own_page, "answer").status == 404
    assert typed(own_page, "ask south 9r").status == 404


def test_a_changed_fact_is_told_in_the_margin(own_page) -> None:
    """A picture at desks whose scorer changed is to be put right, with how many desks have it."""
    own_page.ask(own_page.match)
    typed(own_page, "correct 2 goal 11r header")
    for _ in range(400):
        text = own_page.ask(f"{own_page.match}/standing").value["margin"]
        if "have it" in text or "has it" in text:
            break
        time.sleep(0.05)
    part = text[text.index("To put right") : text.index("The set")]
    assert "send corrections" in part


def test_a_killed_frame_is_told_to_the_desks_that_have_it(own_page) -> None:
    """`kill` needs a reason, and says which desks were told."""
    assert typed(own_page, "kill", 12).status == 422
    said = typed(own_page, "kill wrong player", 12).value["said"]
    assert "is killed" in said
    assert "gazette" in said
    assert "north" in said


def test_a_goal_is_proposed_first_and_sent_on_the_word(own_page, tmp_path: Path) -> None:
    """`send goal` leads to its frames and sends nothing; `now` sends what was shown, first of all.

    Where it would be other frames by now, they are shown first.
    """
    yard = tmp_path / "yard"
    yard.mkdir()
    address = to_json(DeskAddress(Protocol.FOLDER, path=yard))
    save_desk(space_of(own_page), StoredDesk("yard", address, "north"), small_match.LATER)
    shown = typed(own_page, "send goal yard").value
    assert shown["go"] == "found"
    assert (len(shown["frames"]), "3 frames proposed" in shown["said"]) == (3, True)
    before = captions_of(space_of(own_page), own_page.made.match)
    assert set(shown["frames"]) - set(before)
    decide(space_of(own_page), own_page.made.match, shown["frames"][0], Decision.SPIKE)
    other = typed(own_page, "send goal now yard").value
    assert (other["go"], other["frames"] != shown["frames"]) == ("found", True)
    shown = other
    sent = typed(own_page, "send goal now yard").value
    assert sent["undo"]["batch"]
    of = own_page.made.match
    for _ in range(2400):
        there = [d for d in deliveries(space_of(own_page), of) if d.desk == "yard"]
        if len(there) == 3 and all(d.state is State.DELIVERED for d in there):
            break
        time.sleep(0.05)
    assert {d.frame_id for d in there} == set(shown["frames"])
    assert [(d.state, d.urgency) for d in there] == [(State.DELIVERED, Urgency.FIRST)] * 3
    assert len(list(yard.iterdir())) == 3

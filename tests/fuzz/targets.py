"""Everything that reads what somebody else may have written, each with inputs to begin from.

A target takes bytes and comes back: what is wrong in them must end in the errors of its loader,
which become one sentence at the user. Anything else it raises is a finding. What a loader took
has to be fit for use, and what an error says has to be fit to be shown.
"""

from __future__ import annotations

import io
import shutil
import tempfile
import zipfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from pathlib import Path

from assistant.coach import Coach
from assistant.errors import HearingError, InputError, RecordError, SpeakingError
from assistant.files import builtin_catalogue, builtin_sources
from assistant.hearing.model_fetch import fetch_model
from assistant.hearing.wave import read_blocks
from assistant.language import language_text
from assistant.profile_file import profile_text
from assistant.record import codec
from assistant.record.export import export, read_csv, read_export, to_csv, to_json
from assistant.record.header import SessionHeader
from assistant.record.history import history
from assistant.record.mend import mend
from assistant.record.store import Store
from assistant.script import wait_of
from assistant.session.events import Heard, Started
from assistant.session.facts import SessionEnded, SetLogged
from assistant.session.nodes import Node
from assistant.session.scopes import scope_at
from assistant.speaking.port import Sound
from assistant.speaking.sound_file import read_sound, wav_bytes
from catalogue.check import check_catalogue
from catalogue.load import load_catalogue, load_profile
from catalogue.problems import CatalogueProblems
from catalogue.profile import default_profile
from intents.lines import LineError, Lines
from intents.meaning import Meaning
from intents.phrases import Phrases
from intents.scope import EVERYTHING

LONGEST_MESSAGE = 200_000
"""Characters of an error: 500 mistakes of a few hundred each."""


@dataclass(frozen=True)
class Target:
    """`run` takes one input; `seeds` are inputs to change; `words` are what its format is made of;
    `longest` is the most bytes worth trying."""

    run: Callable[[bytes], None]
    seeds: Callable[[], list[bytes]]
    words: tuple[str, ...] = ()
    longest: int = 4096


def fit_to_show(error: Exception) -> None:
    """A message is of bounded length, and steers no terminal and no reading direction."""
    text = str(error)
    assert text.strip(), "an error without a word"
    assert len(text) <= LONGEST_MESSAGE, "an error without an end"
    strange = {char for char in text if not char.isprintable() and char not in "\n\t"}
    assert not strange, f"an error with control characters: {sorted(strange)!r}"


def _text(data: bytes) -> str:
    return data.decode("utf-8", "replace")


# the coach's and the athlete's files


def take_catalogue(data: bytes) -> None:
    try:
        made = load_catalogue({"a.toml": _text(data)})
    except CatalogueProblems as problems:
        fit_to_show(problems)
        return
    check_catalogue(made)
    default_profile(made)
    Coach.of(made, "en").understand("i do not have a pipe", EVERYTHING)


def take_profile(data: bytes) -> None:
    try:
        made = load_profile(_text(data), "me.toml", builtin_catalogue())
    except CatalogueProblems as problems:
        fit_to_show(problems)
        return
    again = load_profile(profile_text(made, builtin_catalogue()), "me.toml", builtin_catalogue())
    assert again == made


# a language


def take_phrases(data: bytes) -> None:
    try:
        Phrases.read(_text(data), language_text("en", "numbers"), language_text("en", "words"))
    except ValueError:
        return


def take_lines(data: bytes) -> None:
    try:
        Lines.load(_text(data))
    except LineError as error:
        fit_to_show(error)


# what is said


@cache
def _coach() -> Coach:
    return Coach.of(builtin_catalogue(), "en")


def take_typed(data: bytes) -> None:
    """Typed words, in a scope that the first byte chooses."""
    nodes = list(Node)
    scope = EVERYTHING if not data else scope_at(nodes[data[0] % len(nodes)])
    text = _text(data[1:])
    wait_of(text)
    heard = _coach().understand(text, scope)
    assert all(m.id in scope.meanings or m.id == "none" for m in heard.meanings)


# sound


def take_wave(data: bytes) -> None:
    try:
        for block in read_blocks(io.BytesIO(data), "talk.wav"):
            assert block.dtype == "int16"
    except HearingError as error:
        fit_to_show(error)


def take_voice(data: bytes) -> None:
    try:
        read_sound(data)
    except SpeakingError as error:
        fit_to_show(error)


# the record and what is made from it


def take_entry(data: bytes) -> None:
    for decode in (codec.decode_event, codec.decode_fact):
        try:
            item = decode(_text(data))
            if not isinstance(item, codec.Unknown):
                assert decode(codec.encode(item)) == item
        except codec.CodecError:
            continue


def take_export(data: bytes) -> None:
    try:
        made = read_export(_text(data))
    except InputError as error:
        fit_to_show(error)
        return
    assert read_export(to_json(made)) == made
    to_csv(made)


def take_table(data: bytes) -> None:
    try:
        read_csv(_text(data))
    except InputError as error:
        fit_to_show(error)


def take_record(data: bytes) -> None:
    """A file in the record's place: read, written to, and mended where it is damaged."""
    with _folder() as folder:
        path = folder / "record.db"
        path.write_bytes(data)
        for use in (_read, _write, mend, _read):
            try:
                use(path)
            except RecordError as error:
                fit_to_show(error)


def _read(path: Path) -> None:
    with closing(Store.open(path, read_only=True)) as store:
        store.unfinished()
        for info in store.sessions():
            store.events(info.id)
        to_csv(export(store))
        history(store)


def _write(path: Path) -> None:
    with closing(Store.open(path)) as store:
        session = store.begin(_header())
        store.append(session, Started(0.0), [])


# archives


def take_archive(data: bytes) -> None:
    """An archive that has come whole, with the digest that was expected."""
    with _folder() as folder:
        models = folder / "models"
        models.mkdir()
        (models / "model.zip.part").write_bytes(data)
        url, digest = "https://example.invalid/model.zip", sha256(data).hexdigest()
        try:
            fetch_model("en", models, url, digest, len(data))
        except HearingError as error:
            fit_to_show(error)
            assert not [p for p in models.iterdir() if p.name != "model.zip.part"]
        assert [p.name for p in folder.iterdir()] == ["models"], "written outside the folder"


@contextmanager
def _folder() -> Iterator[Path]:
    fast = Path("/dev/shm")
    folder = Path(tempfile.mkdtemp(prefix="fuzz-", dir=fast if fast.is_dir() else None))
    try:
        yield folder
    finally:
        shutil.rmtree(folder)


# what to begin from


@cache
def _header() -> SessionHeader:
    return SessionHeader(
        started_utc="2025-01-06T17:30:00+00:00", athlete="Ada", language="en", profile="{}",
        plan="{}", catalogue="demo", catalogue_digest="0", seed=1, program="0",
    )  # fmt: skip


@cache
def _record() -> bytes:
    with _folder() as folder:
        path = folder / "record.db"
        with Store.open(path) as store:
            session = store.begin(_header())
            store.append(session, Started(0.0), [])
            for number in range(1, 6):
                event = Heard(float(number), "done", (Meaning("done"),), 0.9, "act", 0.0)
                fact = SetLogged(number, "line_stand", number, "none", 40, "timer", seconds=40)
                store.append(session, event, [fact])
            store.append(session, Started(9.0), [SessionEnded("done", ("the same again",))])
        return path.read_bytes()


@cache
def _exported() -> tuple[str, str]:
    with _folder() as folder:
        path = folder / "record.db"
        path.write_bytes(_record())
        with closing(Store.open(path, read_only=True)) as store:
            made = export(store)
    return to_json(made), to_csv(made)


def _catalogues() -> list[bytes]:
    small = (
        'name = "demo"\n[[skill]]\nid = "balance"\nname = "balance"\n'
        '[[equipment]]\nid = "pipe"\nname = "pipe"\nalso = ["tube"]\n'
        '[[movement]]\nid = "line_stand"\nname = "line stand"\nskill = "balance"\n'
        'level = "beginner"\nstep = 1\nequipment = ["pipe"]\n'
        'dosage = { kind = "hold", seconds = [30, 45], sets = 2, rest = 30 }\n'
        'set_up = ["Stand on a line."]\nloads = ["ankle"]\n'
        'cues = [{ focus = "outside", text = "Look far." }, { focus = "body", text = "Tall." }]\n'
        '[movement.links]\nprogress = "pipe_stand"\n'
    )
    whole = sorted(builtin_sources().values(), key=len)
    return [small.encode(), *(text.encode() for text in whole[:3])]


def _waves() -> list[bytes]:
    import numpy as np

    plain = wav_bytes(Sound(np.arange(-200, 200, dtype=np.int16), 16_000))
    floats = bytearray(plain)
    floats[20], floats[34] = 3, 32
    return [
        plain,
        bytes(floats),
        plain[:44],
        b"RIFF\xff\xff\xff\xffWAVELIST\4\0\0\0abcd" + plain[12:],
    ]


def _aiff() -> bytes:
    rate = bytes.fromhex("400EAC44000000000000")
    common = b"COMM" + (18).to_bytes(4, "big") + bytes.fromhex("0001000000040010") + rate
    sound = b"SSND" + (16).to_bytes(4, "big") + bytes(8) + bytes(range(8))
    return b"FORM" + (4 + len(common) + len(sound)).to_bytes(4, "big") + b"AIFF" + common + sound


def _archives() -> list[bytes]:
    made = []
    for names in (
        ("model/am/final.mdl", "model/conf/mfcc.conf", "model/graph/words.txt"),
        ("../outside", "/absolute", "a\\b"),
        ("model", "model/am"),
    ):
        for how in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            out = io.BytesIO()
            with zipfile.ZipFile(out, "w", how) as zipped:
                for name in names:
                    zipped.writestr(name, b"x" * 40)
            made.append(out.getvalue())
    return [*made, _nameless()]


def _nameless() -> bytes:
    """An archive whose only entry has no name: its one letter counts as an extra field."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as zipped:
        zipped.writestr("a", b"x")
    data = bytearray(out.getvalue())
    for head, lengths in ((b"PK\x03\x04", 26), (b"PK\x01\x02", 28)):
        at = data.index(head) + lengths
        data[at : at + 4] = b"\0\0\1\0"
    return bytes(data)


def _entries() -> list[bytes]:
    heard = Heard(1.0, "log ten", (Meaning("log", {"seconds": 10}),), 0.9, "act", 0.0)
    logged = SetLogged(1, "line_stand", 1, "left", 40, "timer", seconds=39.5)
    items = (Started(0.0), heard, logged, SessionEnded("done", ("more",)))
    return [codec.encode(item).encode() for item in items]


_TYPED = (
    "no", "log thirty eight seconds, effort seven", "i don't have a pipe", "that hurts, my wrist",
    "six on the left, five on the right", "one minute and a half", "please stop", "+20", "3/10",
)  # fmt: skip
_TOML = (
    "[[movement]]", "[[skill]]", "[[equipment]]", "[movement.links]", "id = ", "name = ", '"""',
    "'''", "{ ", " }", "[ ", " ]", "= ", "\n", "\\u202e", "\\u0000", "1e999", "nan", "-1",
    "2024-01-01", "dosage", "kind", "hold", "seconds", "regress", "progress", "alternative",
    "safety", "hazards", "step", "level", "loads", "cues", "stand_ins", "space",
)  # fmt: skip
_JSON = ('"kind":', '"v":', "null", "1e999", "NaN", "[", "{", '"\\ud800"', "Infinity", "-0")

TARGETS: dict[str, Target] = {
    "catalogue": Target(take_catalogue, _catalogues, _TOML),
    "profile": Target(
        take_profile,
        lambda: [
            profile_text(default_profile(builtin_catalogue()), builtin_catalogue()).encode(),
            b'athlete = "R"\nequipment = ["pipe"]\n[levels]\nbalance = "beginner"\n',
        ],
        (*_TOML, "athlete", "equipment", "minutes", "levels", "voice", "rate", "volume"),
    ),
    "phrases": Target(
        take_phrases, lambda: [language_text("en", "phrases").encode()], _TOML, 16384
    ),
    "lines": Target(
        take_lines,
        lambda: [
            b'[lines]\na = ["{n|count:set}", "x {items|all}"]\n[nouns]\nset = ["set", "sets"]\n'
            b'second = ["s", "ss"]\nminute = ["m", "ms"]\n[joins]\nall = "and"\nany = "or"\n',
            language_text("ko", "lines").encode(),
        ],
        _TOML,
    ),
    "typed": Target(take_typed, lambda: [b"\7" + t.encode() for t in _TYPED], _TYPED, 400),
    "wave": Target(take_wave, _waves, ("RIFF", "WAVE", "fmt ", "data", "LIST", "\xfe\xff")),
    "voice": Target(
        take_voice, lambda: [*_waves(), _aiff()], ("FORM", "AIFF", "COMM", "SSND", "sowt", "RIFF")
    ),
    "entry": Target(take_entry, _entries, _JSON),
    "export": Target(take_export, lambda: [_exported()[0].encode()], _JSON),
    "table": Target(take_table, lambda: [_exported()[1].encode()], (",", '"', "\r\n", "yes", "'=")),
    "record": Target(take_record, lambda: [_record()], ("SQLite format 3", "CREATE TABLE"), 65536),
    "archive": Target(take_archive, _archives, ("PK\x01\x02", "PK\x03\x04", "PK\x05\x06", "../")),
}

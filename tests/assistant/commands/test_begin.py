"""`cuewalk begin` as a newcomer meets it: answers, slips, cautions, the file, the first session."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

from assistant.files import builtin_catalogue, read_profile
from tests.assistant.commands.test_bad_input import refused, run

ANSWERS = {
    "name": "Robin", "levels": "beginner, balance intermediate", "equipment": "pipe, mat",
    "space": "3", "minutes": "25", "aches": "no", "active": "yes", "condition": "no",
    "symptoms": "no", "intensity": "moderate", "accept": "yes",
}  # fmt: skip


def options(**more: str) -> list[str]:
    answers = ANSWERS | more
    return [word for name, answer in answers.items() for word in (f"--{name}", answer) if answer]


def begin(home: Path, *words: str, stdin: str = "") -> subprocess.CompletedProcess[str]:
    return run("begin", *words, stdin=stdin, home=home)


def typed(home: Path, *answers: str) -> subprocess.CompletedProcess[str]:
    return begin(home, stdin="\n".join(answers) + "\n")


def test_answers_make_a_profile_and_a_first_session(tmp_path: Path) -> None:
    done = typed(tmp_path, *ANSWERS.values())
    assert done.returncode == 0, done.stderr
    profile = read_profile(tmp_path / "profile.toml", builtin_catalogue())
    assert (profile.athlete, profile.minutes, profile.equipment) == ("Robin", 25, ("pipe", "mat"))
    assert profile.levels["balance"].value == "intermediate"
    assert profile.levels["hangs"].value == "beginner"
    assert "Your first session: about 25 minutes" in done.stdout
    assert "Now: cuewalk train" in done.stdout
    # The session it told of is the one that is led.
    names = done.stdout.split("Main part: ")[1].split(".")[0].replace(" and ", ", ").split(", ")
    script = run("rehearse", home=tmp_path).stdout
    assert all(f": {name}." in script for name in names)
    assert "Robin. About" in script


def test_every_caution_is_told_before_anything_is_written(tmp_path: Path) -> None:
    done = typed(tmp_path, *{**ANSWERS, "accept": "no"}.values())
    assert done.returncode == 1
    for word in ("Pain, dizziness", "Test a bar", "rigid", "clear and dry", "spotter", "clinician"):
        assert word in done.stdout
    assert not (tmp_path / "profile.toml").exists()


def test_options_answer_beforehand(tmp_path: Path) -> None:
    done = begin(tmp_path, *options())
    assert done.returncode == 0
    assert "> " not in done.stdout
    assert read_profile(tmp_path / "profile.toml", builtin_catalogue()).athlete == "Robin"


def test_slips_are_asked_again_and_enter_takes_the_default(tmp_path: Path) -> None:
    done = typed(
        tmp_path, "", "expert", "", "pipe, matt", "none", "far", "", "1", "", "banana", "no",
        "perhaps", "y", "n", "n", "quite", "light", "what", "y",
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
    profile = read_profile(tmp_path / "profile.toml", builtin_catalogue())
    assert (profile.athlete, profile.space, profile.minutes) == ("Athlete", 3.0, 30)
    assert "Is it mat?" in done.stdout


def test_a_profile_is_replaced_only_when_asked(tmp_path: Path) -> None:
    file = tmp_path / "profile.toml"
    file.write_text('athlete = "Kim"\n')
    done = typed(tmp_path, "no")
    assert done.returncode == 0
    assert file.read_text() == 'athlete = "Kim"\n'
    said = refused(begin(tmp_path, *options()))
    assert "--replace" in said
    assert file.read_text() == 'athlete = "Kim"\n'
    assert typed(tmp_path, "yes", *ANSWERS.values()).returncode == 0
    assert 'athlete = "Robin"' in file.read_text()
    assert begin(tmp_path, *options(name="Sam"), "--replace").returncode == 0
    assert 'athlete = "Sam"' in file.read_text()


def test_answers_that_end_write_nothing(tmp_path: Path) -> None:
    said = refused(typed(tmp_path, "Robin", "beginner"))
    assert "--equipment" in said
    assert not (tmp_path / "profile.toml").exists()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("name", "answer"),
    [("levels", "expert"), ("equipment", "sauna"), ("space", "0"), ("minutes", "600"),
     ("aches", "banana"), ("active", "perhaps"), ("intensity", "mild"), ("name", "x" * 61)],
)  # fmt: skip
def test_an_option_that_can_not_be_read_is_told(tmp_path: Path, name: str, answer: str) -> None:
    assert f"--{name}" in refused(begin(tmp_path, *options(**{name: answer})))
    assert not (tmp_path / "profile.toml").exists()


def test_signs_of_disease_come_before_training(tmp_path: Path) -> None:
    done = begin(tmp_path, *options(symptoms="yes"))
    assert "Ask a clinician about these signs first" in done.stdout
    assert "Now: cuewalk train" not in done.stdout
    assert "When a clinician has agreed: cuewalk train" in done.stdout


def test_much_pain_means_rest(tmp_path: Path) -> None:
    done = begin(tmp_path, *options(aches="wrist 8"))
    assert "Do not train today." in done.stdout
    assert "When it is better: cuewalk train" in done.stdout


def test_some_pain_is_spared(tmp_path: Path) -> None:
    catalogue = builtin_catalogue()
    done = begin(tmp_path, *options(aches="wrist 4"))
    assert "leaves out what loads the wrist" in done.stdout
    told = done.stdout.split("Your first session")[1]
    loaded = [m.name for m in catalogue.movements.values() if "wrist" in m.loads]
    parts = [line.split(": ")[1] for line in told.splitlines()[1:] if ": " in line]
    names = {name for part in parts for name in part.rstrip(".").replace(" and ", ", ").split(", ")}
    assert names & {m.name for m in catalogue.movements.values()}
    assert not names & set(loaded)


def test_answers_on_health_are_kept_nowhere(tmp_path: Path) -> None:
    begin(tmp_path, *options(aches="wrist 4", condition="yes", symptoms="yes"))
    assert [path.name for path in tmp_path.iterdir()] == ["profile.toml"]
    text = (tmp_path / "profile.toml").read_text()
    for word in ("wrist", "condition", "symptom", "pain", "moderate"):
        assert word not in text


def test_another_file_and_a_coachs_catalogue_are_named_in_the_next_step(tmp_path: Path) -> None:
    folder, file = tmp_path / "skills", tmp_path / "r o.toml"
    run("new", "catalogue", str(folder), home=tmp_path)
    words = options(levels="beginner", equipment="pipe")
    done = begin(tmp_path, *words, "--catalogue", str(folder), "--to", str(file))
    assert done.returncode == 0, done.stderr
    assert f"--catalogue {folder} --profile '{file}'" in done.stdout
    assert file.exists()
    assert not (tmp_path / "profile.toml").exists()


def test_no_room_to_train_is_told(tmp_path: Path) -> None:
    done = begin(tmp_path, *options(space="0.5", equipment="none"))
    assert done.returncode == 0
    assert "No session can be made of this." in done.stdout


KOREAN = (
    "하늘", "초급, 균형 중급", "파이프랑 매트", "3미터", "25분", "손목 2", "네", "아니요", "아니요",
    "보통", "네",
)  # fmt: skip


def test_another_language_asks_and_answers_in_its_own_words(tmp_path: Path) -> None:
    done = begin(tmp_path, "--language", "ko", stdin="\n".join(KOREAN) + "\n")
    assert done.returncode == 0, done.stderr
    profile = read_profile(tmp_path / "profile.toml", builtin_catalogue())
    assert (profile.athlete, profile.language, profile.minutes) == ("하늘", "ko", 25)
    assert profile.equipment == ("pipe", "mat")
    assert profile.levels["balance"].value == "intermediate"
    told = re.sub(r"cuewalk [a-z]+( --[a-z]+)*|\S+profile\.toml", "", done.stdout)
    assert [line for line in told.splitlines() if re.search("[A-Za-z]", line)] == []
    assert "첫 운동: " in told


def test_an_unknown_language_is_told_with_those_that_there_are(tmp_path: Path) -> None:
    for words in (("begin",), ("train", "--typed")):
        done = run(*words, "--language", "xx", home=tmp_path)
        assert refused(done) == "cuewalk: There is no language 'xx'; use one of: en, ko.\n"

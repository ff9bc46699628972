"""The network that moonshine-voice brings along, in torch, so that it can learn.

Its layers: N. Jeffries and others, "Moonshine: speech recognition for live transcription and voice
commands", arXiv 2410.15608, 2024. The packaged weights have 8 bits; they are taken back to floating
point. onnxruntime's own reader of its files finds them (module `weights`).
"""

from __future__ import annotations

from pathlib import Path

import torch
from torch import Tensor, nn
from torch.nn import functional

from assistant.hearing.moonshine_net import DECODER, HEADS, find_net
from assistant.hearing.moonshine_pieces import COUNT
from tests.bench.hearing.training.weights import packaged

ENCODER = "encoder_model.ort"
"""The packaged encoder."""

WIDE = HEADS[0] * HEADS[1]
"""Numbers in a vector."""

DEEP = 6
"""Layers of the encoder, and of the decoder."""

INNER = 4 * WIDE
TURNED = 32
"""Numbers of a head that are turned by their place in time (of 36)."""


def turned(x: Tensor) -> Tensor:
    """Heads (batch x heads x times x 36) with their place in time in them: J. Su and others,
    "RoFormer: enhanced transformer with rotary position embedding", arXiv 2104.09864, 2021."""
    speeds = 1.0 / (10_000 ** (torch.arange(0, TURNED, 2).float() / TURNED))
    angles = torch.arange(x.shape[2])[:, None].float() * speeds
    cos, sin = angles.cos(), angles.sin()
    a, b = x[..., 0:TURNED:2], x[..., 1:TURNED:2]
    pairs = torch.cat(((a * cos - b * sin)[..., None], (b * cos + a * sin)[..., None]), -1)
    return torch.cat((pairs.reshape(x.shape[0], HEADS[0], -1, TURNED), x[..., TURNED:]), -1)


class Norm(nn.Module):
    def __init__(self) -> None:
        super().__init__()
        self.weight = nn.Parameter(torch.ones(WIDE))

    def forward(self, x: Tensor) -> Tensor:
        return functional.layer_norm(x, (WIDE,), self.weight)


class Attention(nn.Module):
    """What is heard at each time of itself, or of the encoder where `others` is given."""

    def __init__(self, past_only: bool = False) -> None:
        super().__init__()
        self.past_only = past_only
        self.q_proj, self.k_proj, self.v_proj, self.o_proj = (
            nn.Linear(WIDE, WIDE, bias=False) for _ in range(4)
        )

    def forward(self, x: Tensor, others: Tensor | None = None) -> Tensor:
        of = x if others is None else others
        q, k, v = (
            made.reshape(made.shape[0], -1, *HEADS).transpose(1, 2)
            for made in (self.q_proj(x), self.k_proj(of), self.v_proj(of))
        )
        if others is None:
            q, k = turned(q), turned(k)
        like = q @ k.transpose(-1, -2) * HEADS[1] ** -0.5
        if self.past_only:
            later = torch.ones(x.shape[1], x.shape[1], dtype=torch.bool).triu(1)
            like = like.masked_fill(later, float("-inf"))
        heard = like.softmax(-1) @ v
        out: Tensor = self.o_proj(heard.transpose(1, 2).reshape(x.shape[0], -1, WIDE))
        return out


class Inner(nn.Module):
    def __init__(self, gated: bool) -> None:
        super().__init__()
        self.gated = gated
        self.fc1 = nn.Linear(WIDE, 2 * INNER if gated else INNER)
        self.fc2 = nn.Linear(INNER, WIDE)

    def forward(self, x: Tensor) -> Tensor:
        x = self.fc1(x)
        if self.gated:
            x, gate = x.chunk(2, -1)
            x = functional.silu(gate) * x
        else:
            x = functional.gelu(x)
        out: Tensor = self.fc2(x)
        return out


class EncoderLayer(nn.Module):
    def __init__(self) -> None:
        super().__init__()
        self.input_layernorm, self.post_attention_layernorm = Norm(), Norm()
        self.self_attn, self.mlp = Attention(), Inner(gated=False)

    def forward(self, x: Tensor) -> Tensor:
        x = x + self.self_attn(self.input_layernorm(x))
        out: Tensor = x + self.mlp(self.post_attention_layernorm(x))
        return out


class Encoder(nn.Module):
    """Samples (batch x length, from -1 to 1, 16,000 a second) to vectors (batch x times x 288)."""

    def __init__(self) -> None:
        super().__init__()
        self.conv1 = nn.Conv1d(1, WIDE, 127, 64, bias=False)
        self.groupnorm = nn.GroupNorm(1, WIDE)
        self.conv2 = nn.Conv1d(WIDE, 2 * WIDE, 7, 3)
        self.conv3 = nn.Conv1d(2 * WIDE, WIDE, 3, 2)
        self.layers = nn.ModuleList(EncoderLayer() for _ in range(DEEP))
        self.layer_norm = Norm()

    def forward(self, sound: Tensor) -> Tensor:
        x = self.groupnorm(torch.tanh(self.conv1(sound[:, None])))
        x = functional.gelu(self.conv3(functional.gelu(self.conv2(x)))).transpose(1, 2)
        for layer in self.layers:
            x = layer(x)
        out: Tensor = self.layer_norm(x)
        return out


class DecoderLayer(nn.Module):
    def __init__(self) -> None:
        super().__init__()
        self.input_layernorm, self.post_attention_layernorm = Norm(), Norm()
        self.final_layernorm = Norm()
        self.self_attn, self.encoder_attn = Attention(past_only=True), Attention()
        self.mlp = Inner(gated=True)

    def forward(self, x: Tensor, heard: Tensor) -> Tensor:
        x = x + self.self_attn(self.input_layernorm(x))
        x = x + self.encoder_attn(self.post_attention_layernorm(x), heard)
        out: Tensor = x + self.mlp(self.final_layernorm(x))
        return out


class Decoder(nn.Module):
    """Pieces of text (batch x length) and what the encoder heard, to scores of the pieces of `few`
    that may come next, only where `wanted` (batch x length) is true: a flat list of rows."""

    def __init__(self) -> None:
        super().__init__()
        self.embed_tokens = nn.Embedding(COUNT, WIDE)
        self.layers = nn.ModuleList(DecoderLayer() for _ in range(DEEP))
        self.norm = Norm()
        self.proj_out = nn.Linear(WIDE, COUNT, bias=False)

    def only(self, few: list[int]) -> Decoder:
        """Choosing from these pieces alone: to score 32,768 takes as long as all the rest."""
        small = nn.Linear(WIDE, len(few), bias=False)
        small.weight.data = self.proj_out.weight.data[few].clone()
        self.proj_out = small
        return self

    def forward(self, pieces: Tensor, heard: Tensor, wanted: Tensor) -> Tensor:
        x = self.embed_tokens(pieces)
        for layer in self.layers:
            x = layer(x, heard)
        out: Tensor = self.proj_out(self.norm(x)[wanted])
        return out


def folder() -> Path:
    found = find_net()
    if found is None:
        raise SystemExit("moonshine-voice is not here: pip install 'moonshine-voice<=0.1.0'")
    return found


def _filled(module: nn.Module, path: Path) -> nn.Module:
    weights = {name: torch.tensor(value) for name, value in packaged(path).items()}
    module.load_state_dict({name: weights[name] for name in module.state_dict()})
    return module.eval()


def encoder() -> Encoder:
    """As packaged."""
    made = _filled(Encoder(), folder() / ENCODER)
    assert isinstance(made, Encoder)
    return made


def decoder() -> Decoder:
    """As packaged; it does not learn."""
    made = _filled(Decoder(), folder() / DECODER)
    assert isinstance(made, Decoder)
    return made.requires_grad_(False)

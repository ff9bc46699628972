"""A taught encoder as a file for onnxruntime, and back: its matrices in 8 bits, as in the packaged
one."""

from __future__ import annotations

import re
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
import torch

from tests.bench.hearing.training.network import DEEP, Encoder, encoder

LARGE = 50_000
"""Numbers from which on other weights are kept in 16 bits."""

MATRICES = (
    *("self_attn.q_proj", "self_attn.k_proj", "self_attn.v_proj", "self_attn.o_proj"),
    *("mlp.fc1", "mlp.fc2"),
)
"""Of a layer, in the order in which they are numbered in a file: they have no names there."""

INPUT, OUTPUT = "sound", "heard"


def export(taught: Encoder, path: Path) -> None:
    """Write it; its input `sound` is batch x samples, its output `heard` batch x times x 288."""
    import onnx
    from onnx import TensorProto, helper, numpy_helper
    from onnxruntime.quantization import QuantType, quantize_dynamic
    from onnxruntime.quantization.shape_inference import quant_pre_process

    with tempfile.TemporaryDirectory() as folder:
        whole, tidy, small = (str(Path(folder) / f"{name}.onnx") for name in "abc")
        torch.onnx.export(
            taught.eval(),
            (torch.zeros(1, 24_000),),
            whole,
            input_names=[INPUT],
            output_names=[OUTPUT],
            dynamic_axes={INPUT: {0: "rows", 1: "samples"}, OUTPUT: {0: "rows", 1: "times"}},
            opset_version=17,
            dynamo=False,
        )
        quant_pre_process(whole, tidy, skip_symbolic_shape=True)
        # Of 8 bits with a sign, processors without VNNI run over.
        quantize_dynamic(
            tidy,
            small,
            op_types_to_quantize=["MatMul"],
            weight_type=QuantType.QUInt8,
            extra_options={"MatMulConstBOnly": True},
        )
        model = onnx.load(small)
    graph = model.graph
    for tensor in list(graph.initializer):
        if tensor.data_type == TensorProto.FLOAT and np.prod(tensor.dims) > LARGE:
            half = numpy_helper.to_array(tensor).astype(np.float16)
            name = f"{tensor.name}_half"
            graph.initializer.remove(tensor)
            graph.initializer.append(numpy_helper.from_array(half, name))
            back = helper.make_node("Cast", [name], [tensor.name], to=TensorProto.FLOAT)
            graph.node.insert(0, back)
    onnx.save(model, path)


def taught_before(path: Path) -> Encoder:
    """The encoder in a file that `export` wrote, to be taught further."""
    import onnx
    from onnx import numpy_helper

    kept = {one.name: numpy_helper.to_array(one) for one in onnx.load(path).graph.initializer}
    numbers = sorted(
        int(of[1]) for name in kept if (of := re.fullmatch(r"onnx::MatMul_(\d+)_quantized", name))
    )
    names = [f"layers.{layer}.{name}.weight" for layer in range(DEEP) for name in MATRICES]
    found: dict[str, Any] = {
        name: _as_floats(kept, f"onnx::MatMul_{number}").T
        for name, number in zip(names, numbers, strict=True)
    }
    for kind, sign in (("weight", "onnx::Mul_"), ("bias", "onnx::Add_")):
        found[f"groupnorm.{kind}"] = next(
            value.ravel() for name, value in kept.items() if name.startswith(sign)
        )
    for name, value in kept.items():
        found.setdefault(name.removesuffix("_half"), value)
    made = encoder()
    made.load_state_dict(
        {name: torch.tensor(np.array(found[name], np.float32)) for name in made.state_dict()}
    )
    return made


def _as_floats(kept: dict[str, Any], name: str) -> Any:
    whole = kept[f"{name}_quantized"].astype(np.float32) - float(kept[f"{name}_zero_point"])
    return whole * kept[f"{name}_scale"]

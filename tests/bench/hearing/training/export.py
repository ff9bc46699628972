"""A taught encoder as a file for onnxruntime: its matrices in 8 bits, as in the packaged one."""

from __future__ import annotations

import tempfile
from pathlib import Path

import numpy as np
import torch

from tests.bench.hearing.training.network import Encoder

LARGE = 50_000
"""Numbers from which on other weights are kept in 16 bits."""

INPUT, OUTPUT = "sound", "heard"


def export(encoder: Encoder, path: Path) -> None:
    """Write it; its input `sound` is batch x samples, its output `heard` batch x times x 288."""
    import onnx
    from onnx import TensorProto, helper, numpy_helper
    from onnxruntime.quantization import QuantType, quantize_dynamic
    from onnxruntime.quantization.shape_inference import quant_pre_process

    with tempfile.TemporaryDirectory() as folder:
        whole, tidy, small = (str(Path(folder) / f"{name}.onnx") for name in "abc")
        torch.onnx.export(
            encoder.eval(),
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

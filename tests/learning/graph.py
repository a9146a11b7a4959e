"""The layers of a taught network as an ONNX graph (opset 17): what clubbot/understanding/encoder.py is run with, made from plain matrices."""

from collections.abc import Mapping, Sequence

import numpy as np
import numpy.typing as npt
import onnx
from onnx import TensorProto, helper, numpy_helper

Floats = npt.NDArray[np.float32]
State = Mapping[str, Floats]
_OPSET = 17  # the first with LayerNormalization
_IR = 9


class _Graph:
    """An ONNX graph as it grows: each step gives the name of its result."""

    def __init__(self) -> None:
        self.nodes: list[onnx.NodeProto] = []
        self.kept: list[onnx.TensorProto] = []

    def keep(self, name: str, value: npt.NDArray[np.generic]) -> str:
        self.kept.append(numpy_helper.from_array(value, name))
        return name

    def step(self, kind: str, given: Sequence[str], name: str, **how: object) -> str:
        self.nodes.append(helper.make_node(kind, list(given), [name], name=name, **how))
        return name

    def dense(self, state: str, name: str, weight: Floats, bias: Floats) -> str:
        weight = np.ascontiguousarray(weight.T)
        product = self.step("MatMul", [state, self.keep(f"{name}.weight", weight)], f"{name}.product")
        return self.step("Add", [product, self.keep(f"{name}.bias", bias)], name)

    def normed(self, state: str, name: str, scale: Floats, shift: Floats) -> str:
        kept = [self.keep(f"{name}.scale", scale), self.keep(f"{name}.shift", shift)]
        return self.step("LayerNormalization", [state, *kept], name, axis=-1, epsilon=1e-12)


def graph_of(state: State, heads: int) -> onnx.ModelProto:
    """The layers and heads of a network, given by their names in tests/learning/network.py: pieces x width in; the odds of each intent and of
    being for us out.
    """
    graph = _Graph()
    width = len(state["n.weight"])
    graph.keep("by head", np.array([-1, 3, heads, width // heads], dtype=np.int64))
    graph.keep("side by side", np.array([-1, width], dtype=np.int64))
    graph.keep("scale", np.array(1 / np.sqrt(width // heads), dtype=np.float32))
    for part, one in enumerate(("query", "key", "value")):
        graph.keep(f"which {one}", np.array(part, dtype=np.int64))
    at = graph.normed("rows", "begun", state["n.weight"], state["n.bias"])
    for number in range(sum(key.endswith(".q.bias") for key in state)):
        at = _layer(graph, at, number, state)
    _heads(graph, at, state)
    given = helper.make_tensor_value_info("rows", TensorProto.FLOAT, ["pieces", width])
    intents = state["head"].shape[0]
    out = [
        helper.make_tensor_value_info("odds", TensorProto.FLOAT, [intents]),
        helper.make_tensor_value_info("for us", TensorProto.FLOAT, [1]),
    ]
    whole = helper.make_graph(graph.nodes, "sentence model", [given], out, graph.kept)
    model = helper.make_model(whole, opset_imports=[helper.make_opsetid("", _OPSET)], ir_version=_IR)
    onnx.checker.check_model(model)
    return model


def _layer(graph: _Graph, at: str, number: int, state: State) -> str:
    def of(name: str) -> tuple[Floats, Floats]:
        return state[f"layers.{number}.{name}.weight"], state[f"layers.{number}.{name}.bias"]

    def named(name: str) -> str:
        return f"{number}.{name}"

    three = [of(name) for name in ("q", "k", "v")]
    weight, bias = np.concatenate([one[0] for one in three]), np.concatenate([one[1] for one in three])
    looked = graph.dense(at, named("qkv"), weight, bias)
    looked = graph.step("Reshape", [looked, "by head"], named("by head"))
    looked = graph.step("Transpose", [looked], named("three"), perm=[1, 2, 0, 3])
    query, key, value = (
        graph.step("Gather", [looked, f"which {one}"], named(one), axis=0) for one in ("query", "key", "value")
    )
    turned = graph.step("Transpose", [key], named("turned"), perm=[0, 2, 1])
    near = graph.step("MatMul", [query, turned], named("near"))
    near = graph.step("Mul", [near, "scale"], named("nearness"))
    seen = graph.step("Softmax", [near], named("looks"), axis=-1)
    seen = graph.step("MatMul", [seen, value], named("seen"))
    seen = graph.step("Transpose", [seen], named("by piece"), perm=[1, 0, 2])
    seen = graph.step("Reshape", [seen, "side by side"], named("joined"))
    seen = graph.dense(seen, named("out"), *of("o"))
    at = graph.normed(graph.step("Add", [at, seen], named("with seen")), named("norm 1"), *of("n1"))
    thought = graph.dense(at, named("up"), *of("f1"))
    thought = _gelu(graph, thought, number)
    thought = graph.dense(thought, named("down"), *of("f2"))
    return graph.normed(graph.step("Add", [at, thought], named("with thought")), named("norm 2"), *of("n2"))


def _gelu(graph: _Graph, at: str, number: int) -> str:
    """The tanh form (Hendrycks and Gimpel 2016, section 2): x / (1 + exp(-2 sqrt(2/pi) (x + 0.044715 x^3)))."""
    kept = {"cubed": 0.044715, "twice": 2 * np.sqrt(2 / np.pi)}
    names = {name: graph.keep(f"{number}.{name}", np.array(value, dtype=np.float32)) for name, value in kept.items()}
    square = graph.step("Mul", [at, at], f"{number}.square")
    cube = graph.step("Mul", [square, at], f"{number}.cube")
    cube = graph.step("Mul", [cube, names["cubed"]], f"{number}.some cube")
    inner = graph.step("Add", [at, cube], f"{number}.inner")
    inner = graph.step("Mul", [inner, names["twice"]], f"{number}.inner twice")
    gate = graph.step("Sigmoid", [inner], f"{number}.gate")
    return graph.step("Mul", [at, gate], f"{number}.gelu")


def _heads(graph: _Graph, at: str, state: State) -> None:
    """Each intent looks at its own pieces; whether a text is for us is told by all of them."""
    near = graph.step("MatMul", [at, graph.keep("look", state["look"])], "near")
    looks = graph.step("Softmax", [near], "looks", axis=0)
    speaks = graph.step("MatMul", [at, graph.keep("head", np.ascontiguousarray(state["head"].T))], "speaks")
    heard = graph.step("Mul", [looks, speaks], "heard")
    zero = graph.keep("over pieces", np.array([0], dtype=np.int64))
    odds = graph.step("ReduceSum", [heard, zero], "odds without bias", keepdims=0)
    graph.step("Add", [odds, graph.keep("head bias", state["head_bias"])], "odds")
    pooled = graph.step("ReduceMean", [at], "pooled", axes=[0], keepdims=0)
    scope = graph.step(
        "MatMul", [pooled, graph.keep("scope", np.ascontiguousarray(state["scope.weight"].T))], "scope without bias"
    )
    graph.step("Add", [scope, graph.keep("scope bias", state["scope.bias"])], "for us")

"""Blocks and faces against networkx."""

import networkx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.papers.drawn_circuits import NAMES, drawn_circuit
from witnessmark.papers.circuit.blocks import blocks_of
from witnessmark.papers.circuit.columns import is_flat, stand_block
from witnessmark.papers.circuit.layout import laid_out
from witnessmark.papers.circuit.sketch import sketch_of

PAIRS = st.tuples(st.integers(0, 8), st.integers(0, 8)).filter(lambda pair: pair[0] != pair[1])
GRAPHS = st.lists(PAIRS.map(lambda pair: (str(pair[0]), str(pair[1]))), min_size=1, max_size=26)


@pytest.mark.second_way("networkx.biconnected_component_edges")
@given(GRAPHS)
def test_blocks_are_those_of_networkx(pairs):
    graph = networkx.Graph(pairs)
    theirs = {
        frozenset(frozenset(edge) for edge in block)
        for block in networkx.biconnected_component_edges(graph)
    }
    ours = blocks_of(pairs)

    assert sorted(at for block in ours for at in block) == list(range(len(pairs)))
    assert {frozenset(frozenset(pairs[at]) for at in block) for block in ours} == theirs


@pytest.mark.second_way("networkx.check_planarity")
@settings(max_examples=150, deadline=None)
@given(GRAPHS)
def test_a_graph_is_flat_where_networkx_says_so(pairs):
    ours = all(is_flat([pairs[at] for at in block]) for block in blocks_of(pairs))

    assert ours is networkx.check_planarity(networkx.Graph(pairs))[0]


def test_three_houses_and_three_wells_are_not_flat():
    pairs = [(house, well) for house in "abc" for well in "xyz"]

    assert not is_flat(pairs)
    assert is_flat(pairs[1:])
    assert stand_block(pairs, [1.0] * 9, ("a", "x")) is None


def graph_of(sketch):
    """The circuit as networkx sees it, the battery as an edge between the rails."""
    graph = networkx.Graph([(branch.first, branch.second) for branch in sketch.branches])
    if sketch.supply and sketch.ground:
        graph.add_edge(sketch.supply, sketch.ground)
    return graph


@pytest.mark.second_way("networkx.check_planarity")
@pytest.mark.parametrize("name", NAMES)
def test_nothing_crosses_where_nothing_need_cross(name):
    sketch = sketch_of(drawn_circuit(name))
    is_planar, _ = networkx.check_planarity(graph_of(sketch))

    assert (laid_out(sketch).crossings == 0) is is_planar


@pytest.mark.reference(
    "from memory: D. Kleitman 1970, the complete graph of four and four crosses itself 4 times"
)
def test_a_circuit_that_must_cross_crosses_little():
    sketch = sketch_of(drawn_circuit("crossed"))
    graph = graph_of(sketch)
    graph.remove_edges_from(networkx.selfloop_edges(graph))

    assert networkx.is_isomorphic(
        networkx.Graph(networkx.k_core(graph, 4)), networkx.complete_bipartite_graph(4, 4)
    )
    assert 4 <= laid_out(sketch).crossings <= 5

"""Cards → the symptom-to-cause graph, and checks of the knowledge in it. Pure."""

from faultleaf.graph.apart import total_variation, undistinguished, usable_tests
from faultleaf.graph.build import build_graph, graph_data, node, relation_graph
from faultleaf.graph.knowledge import candidates_of, order_mistakes, weak_spots

__all__ = [
    "build_graph", "candidates_of", "graph_data", "node", "order_mistakes", "relation_graph", "total_variation",
    "undistinguished", "usable_tests", "weak_spots",
]  # fmt: skip

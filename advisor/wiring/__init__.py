"""The plan of the cables: what is connected to what, and what flows where.

From a build with its runs comes a `Plan` (joints between terminals), from that the topology (a
graph) and the networks of the named modes, and from both the facts that the rules read.
"""

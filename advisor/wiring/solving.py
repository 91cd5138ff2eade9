"""Networks solved once: many changes of a build leave the network of a mode as it is."""

from __future__ import annotations

from functools import lru_cache

from advisor.physics.circuit import Network, Solution
from advisor.physics.faults import Responses
from advisor.physics.network import solve


@lru_cache(maxsize=128)
def solved(network: Network) -> Solution:
    """The solution of a network; raises NetworkError as `solve` does."""
    return solve(network)


@lru_cache(maxsize=128)
def responses_of(network: Network) -> Responses:
    """The responses of a network; raises NetworkError as `Responses` does."""
    return Responses(network)


__all__ = ["responses_of", "solved"]

"""Proofs about rules with an SMT solver: for whoever writes rules, never needed to screen."""

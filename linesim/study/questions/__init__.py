"""Questions over many comparisons: the frontier, the value of a bottleneck minute, the effort of a study."""

"""Many runs carried out: here, over worker processes or on a cluster, and kept in a store."""

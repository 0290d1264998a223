"""The plan: a works under one policy as flat typed arrays, with every constant worked out once."""

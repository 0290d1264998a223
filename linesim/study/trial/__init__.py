"""A safe trial: one cutter set's interval changed for some weeks, foretold beforehand and answered afterwards."""

"""The floor: a plan carried out on SimPy, machine by machine, readable as the description of the model."""

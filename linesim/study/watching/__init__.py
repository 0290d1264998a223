"""What is worked out from a shop's records and a scenario together: fitting them, watching them week by week."""

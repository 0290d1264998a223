"""What all searches share: goals, trials remembered, sets as policies name them."""

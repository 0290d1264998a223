"""The routing sheet as shops have it: seven columns become a works that runs; what it does not say is marked."""

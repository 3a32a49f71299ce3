"""Long runs that attack the program, and the makers of their inputs."""

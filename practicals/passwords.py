"""Password hashing that a whole class can afford at once."""

from django.contrib.auth.hashers import Argon2PasswordHasher


class BenchArgon2PasswordHasher(Argon2PasswordHasher):
    """Argon2id with 19 MiB, two passes, one lane.

    Django's default takes 100 MiB and about 0.12 s a check: thirty learners who sign in together would
    wait seconds. These are the least values commonly advised for Argon2id (from memory, no source).
    """

    algorithm = "argon2_bench"
    time_cost = 2
    memory_cost = 19_456
    parallelism = 1

"""The settings of a club's server as they are, but for the cost of a password: a browser signs in hundreds of times."""

from staveward.config.settings import *  # noqa: F403

PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]

from hypothesis import settings

settings.register_profile("job", deadline=None)  # a test of what is right, not of how fast this machine is today
settings.load_profile("job")

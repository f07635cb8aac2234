"""What is kept between runs: bytes by key, in a folder only this user can write to, checked."""

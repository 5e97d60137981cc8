"""Whether stud terminals are tightened to a stated torque."""

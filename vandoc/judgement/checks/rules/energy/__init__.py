"""Rules on the energy budget: autonomy, charging time and battery life.

None of this is a danger to people, and hours and weather are estimates: no rule here fails a van."""

"""The ground floor: numbers in, numbers out.

Every module here is pure: it knows no database, no clock and no web framework, draws no random number
without a seed that is passed in, and reads nothing but its own tables in ``data``. Strength is % vol at
20 degrees Celsius and volume is litres at 20 degrees Celsius unless a name says otherwise. Bad input
raises an error of ``science.errors`` that names the argument, the value and the bound.
"""

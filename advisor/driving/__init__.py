"""What the vehicle does on its trips: from the facts of a build to a simulation and back.

`inputs` turns facts into a vehicle, `courses` the trips of the sheet into what a driver wants,
`survey` drives them and gives values to the rules.
"""

"""Pure, closed-form geometry in metres and radians: the documentation of the mathematics.

Every function takes plain numbers; where a formula is elementwise it also takes numpy arrays,
which broadcast against each other. Numbers in, numbers out: a float gives a float, and numpy
is then not even imported.

Signs, after ISO 8855 where it has the term (axes: x forward, y left, z up):

================================ =====================================================
toe of one wheel                 positive: its front is turned towards the centreline
total toe of an axle             the sum of the two
thrust angle                     positive: the rear wheels on average point to the right
                                 (trade usage; an angle about ISO's z axis has the
                                 opposite sign)
camber                           positive: the top of the wheel leans outwards
caster                           positive: the top of the steering axis leans rearwards
steering-axis inclination        positive: the top of the axis leans inwards
steering wheel off centre        positive: clockwise, to the right
steer angle in a sweep           positive: outwards (a left wheel to the left)
box yaw                          positive: the car points left of the box axis
box taper                        positive: the strings open forwards; half their angle
================================ =====================================================
"""

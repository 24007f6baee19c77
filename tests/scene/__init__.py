"""Renderer of demonstration photos: a workshop, an ambulance floor, a gauge card and a floor latch, true to scale.

World coordinates are millimetres in a right-handed frame fixed to the vehicle:

* x points from the tailgate into the vehicle; the outer face of the sill is the plane x = 0 (the card's ``u``);
* y points to the vehicle's left; the card's ``v`` runs the other way, so a card point (u, v) is (u, -v, height);
* z points up; the finished floor and the top of the sill are the plane z = 0.

Image coordinates are pixels with x to the right and y down; integer coordinates are pixel centres.

Light is summed in linear 16-bit integers. Textures, warps, blurs, noise and lens shading are integer operations or
look-up tables, and every random choice comes from a seeded generator that is passed in, so that one call gives the
same bytes each time (and on each x86-64 processor, as long as the library versions are the same).
"""

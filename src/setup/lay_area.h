/* Areas of the bundle as places to drop things on. */
#ifndef THAW_SETUP_LAY_AREA_H
#define THAW_SETUP_LAY_AREA_H

#include <stdbool.h>

#include "model/bundle.h"
#include "model/specification.h"

/* Is the place (in fractions of the bundle's box) inside the area? */
bool thaw_area_contains(const thaw_area *area, double fx, double fy);
/* Two uniforms to a place in metres inside the area's box. */
void thaw_area_place(const thaw_area *area, const thaw_bundle *bundle, const double u[2], double *x_m, double *y_m);
/* Inside the area, and cloth below? */
bool thaw_area_on_cloth(const thaw_area *area, const thaw_bundle *bundle, double x_m, double y_m);
/* Highest cloth cell at a place, -1 where there is none. */
int32_t thaw_bundle_top(const thaw_bundle *bundle, double x_m, double y_m);

#endif

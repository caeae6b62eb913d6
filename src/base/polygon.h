/* Plain polygons without holes: corners in order, the last joins the first. What needs a library of geometry (GEOS) is
 * done here and nowhere else. Lengths in any one unit; the pieces of a pattern are in metres, x right, y down. */
#ifndef THAW_BASE_POLYGON_H
#define THAW_BASE_POLYGON_H

#include <stdbool.h>

#include "thawprint/status.h"

typedef struct thaw_polygon {
    int n;
    double (*at)[2];               /* own */
} thaw_polygon;

typedef struct thaw_extent {
    double x0, y0, x1, y1;
} thaw_extent;

/* Outputs are released by the caller, and untouched on failure. They may not be an input. */
thaw_status thaw_polygon_copy(const double (*at)[2], int n, thaw_polygon *out, thaw_error *err);
void thaw_polygon_release(thaw_polygon *polygon);

thaw_extent thaw_polygon_extent(const thaw_polygon *polygon);
double thaw_polygon_area(const thaw_polygon *polygon); /* never negative */
/* x' = m[0] x + m[2] y + m[4], y' = m[1] x + m[3] y + m[5], in place. */
void thaw_polygon_map(thaw_polygon *polygon, const double m[6]);

/* *is_simple: the outline neither crosses nor touches itself; else where[] is a place where it does. */
thaw_status thaw_polygon_examine(const thaw_polygon *polygon, bool *is_simple, double where[2], thaw_error *err);
/* All places within `by` of the polygon, corners kept sharp as far as three times `by`. */
thaw_status thaw_polygon_grow(const thaw_polygon *polygon, double by, thaw_polygon *out, thaw_error *err);
/* Both together; THAW_ERR_ARGUMENT if that is not one polygon. */
thaw_status thaw_polygon_unite(const thaw_polygon *a, const thaw_polygon *b, thaw_polygon *out, thaw_error *err);
/* Area that both cover. */
thaw_status thaw_polygon_shared(const thaw_polygon *a, const thaw_polygon *b, double *area, thaw_error *err);

#endif

#include "base/polygon.h"

#include <math.h>
#include <string.h>

#include <geos_c.h>

#include "base/alloc.h"
#include "base/error.h"

#define MITRE_LIMIT      3.0
#define QUARTER_SEGMENTS 8

thaw_status thaw_polygon_copy(const double (*at)[2], int n, thaw_polygon *out, thaw_error *err)
{
    double(*corners)[2] = thaw_allocate((size_t)n, sizeof *corners, err);
    if (!corners) {
        return THAW_ERR_MEMORY;
    }
    memcpy(corners, at, (size_t)n * sizeof *corners);
    *out = (thaw_polygon){n, corners};
    return THAW_OK;
}

void thaw_polygon_release(thaw_polygon *polygon)
{
    thaw_release(polygon->at);
    *polygon = (thaw_polygon){0, NULL};
}

thaw_extent thaw_polygon_extent(const thaw_polygon *polygon)
{
    thaw_extent e = {INFINITY, INFINITY, -INFINITY, -INFINITY};
    for (int i = 0; i < polygon->n; i++) {
        e.x0 = fmin(e.x0, polygon->at[i][0]);
        e.y0 = fmin(e.y0, polygon->at[i][1]);
        e.x1 = fmax(e.x1, polygon->at[i][0]);
        e.y1 = fmax(e.y1, polygon->at[i][1]);
    }
    return e;
}

double thaw_polygon_area(const thaw_polygon *polygon)
{
    double twice = 0.0;
    for (int i = 0; i < polygon->n; i++) {
        const double *a = polygon->at[i], *b = polygon->at[i + 1 < polygon->n ? i + 1 : 0];
        twice += (a[0] - polygon->at[0][0]) * (b[1] - polygon->at[0][1]) -
                 (b[0] - polygon->at[0][0]) * (a[1] - polygon->at[0][1]);
    }
    return 0.5 * fabs(twice);
}

void thaw_polygon_map(thaw_polygon *polygon, const double m[6])
{
    for (int i = 0; i < polygon->n; i++) {
        const double x = polygon->at[i][0], y = polygon->at[i][1];
        polygon->at[i][0] = m[0] * x + m[2] * y + m[4];
        polygon->at[i][1] = m[1] * x + m[3] * y + m[5];
    }
}

/* ---- GEOS ---- */

/* GEOS tells what is wrong by returning NULL; its words are for programmers. */
static void hear_nothing(const char *message, void *user)
{
    (void)message;
    (void)user;
}

static GEOSContextHandle_t begin(void)
{
    GEOSContextHandle_t g = GEOS_init_r();
    if (g) {
        GEOSContext_setErrorMessageHandler_r(g, hear_nothing, NULL);
        GEOSContext_setNoticeMessageHandler_r(g, hear_nothing, NULL);
    }
    return g;
}

static thaw_status failed(thaw_error *err)
{
    return thaw_fail(err, THAW_ERR_ARGUMENT, "the shape is too tangled to be worked with");
}

static GEOSGeometry *to_geos(GEOSContextHandle_t g, const thaw_polygon *p)
{
    GEOSCoordSequence *s = p->n >= 3 ? GEOSCoordSeq_create_r(g, (unsigned)p->n + 1, 2) : NULL;
    if (!s) {
        return NULL;
    }
    for (int i = 0; i <= p->n; i++) {
        const double *at = p->at[i < p->n ? i : 0];
        GEOSCoordSeq_setXY_r(g, s, (unsigned)i, at[0], at[1]);
    }
    GEOSGeometry *ring = GEOSGeom_createLinearRing_r(g, s); /* takes s, even when it fails */
    return ring ? GEOSGeom_createPolygon_r(g, ring, NULL, 0) : NULL;
}

/* The outer ring of a polygon. */
static thaw_status from_geos(GEOSContextHandle_t g, const GEOSGeometry *shape, thaw_polygon *out, thaw_error *err)
{
    const GEOSGeometry *ring =
        shape && GEOSGeomTypeId_r(g, shape) == GEOS_POLYGON ? GEOSGetExteriorRing_r(g, shape) : NULL;
    const GEOSCoordSequence *s = ring ? GEOSGeom_getCoordSeq_r(g, ring) : NULL;
    unsigned size = 0;
    if (!s || !GEOSCoordSeq_getSize_r(g, s, &size) || size < 4) {
        return failed(err);
    }
    double(*at)[2] = thaw_allocate(size - 1, sizeof *at, err);
    if (!at) {
        return THAW_ERR_MEMORY;
    }
    for (unsigned i = 0; i + 1 < size; i++) {
        GEOSCoordSeq_getXY_r(g, s, i, &at[i][0], &at[i][1]);
    }
    *out = (thaw_polygon){(int)size - 1, at};
    return THAW_OK;
}

static void destroy(GEOSContextHandle_t g, GEOSGeometry *shape)
{
    if (shape) {
        GEOSGeom_destroy_r(g, shape);
    }
}

thaw_status thaw_polygon_examine(const thaw_polygon *polygon, bool *is_simple, double where[2], thaw_error *err)
{
    GEOSContextHandle_t g = begin();
    GEOSGeometry *shape = g ? to_geos(g, polygon) : NULL, *place = NULL;
    char *reason = NULL;
    const char valid = shape ? GEOSisValidDetail_r(g, shape, 0, &reason, &place) : 2;
    if (valid == 0 && place) {
        GEOSGeomGetX_r(g, place, &where[0]);
        GEOSGeomGetY_r(g, place, &where[1]);
    }
    if (g) {
        if (reason) {
            GEOSFree_r(g, reason);
        }
        destroy(g, place);
        destroy(g, shape);
        GEOS_finish_r(g);
    }
    if (valid == 2) {
        return failed(err);
    }
    *is_simple = valid == 1;
    return THAW_OK;
}

thaw_status thaw_polygon_grow(const thaw_polygon *polygon, double by, thaw_polygon *out, thaw_error *err)
{
    GEOSContextHandle_t g = begin();
    GEOSGeometry *shape = g ? to_geos(g, polygon) : NULL;
    GEOSGeometry *grown = shape ? GEOSBufferWithStyle_r(g, shape, by, QUARTER_SEGMENTS, GEOSBUF_CAP_ROUND,
                                                        GEOSBUF_JOIN_MITRE, MITRE_LIMIT)
                                : NULL;
    thaw_status status = grown ? from_geos(g, grown, out, err) : failed(err);
    if (g) {
        destroy(g, grown);
        destroy(g, shape);
        GEOS_finish_r(g);
    }
    return status;
}

thaw_status thaw_polygon_unite(const thaw_polygon *a, const thaw_polygon *b, thaw_polygon *out, thaw_error *err)
{
    GEOSContextHandle_t g = begin();
    GEOSGeometry *p = g ? to_geos(g, a) : NULL, *q = p ? to_geos(g, b) : NULL;
    GEOSGeometry *both = q ? GEOSUnion_r(g, p, q) : NULL;
    thaw_status status = both ? from_geos(g, both, out, err) : failed(err);
    if (g) {
        destroy(g, both);
        destroy(g, q);
        destroy(g, p);
        GEOS_finish_r(g);
    }
    return status;
}

thaw_status thaw_polygon_shared(const thaw_polygon *a, const thaw_polygon *b, double *area, thaw_error *err)
{
    GEOSContextHandle_t g = begin();
    GEOSGeometry *p = g ? to_geos(g, a) : NULL, *q = p ? to_geos(g, b) : NULL;
    GEOSGeometry *both = q ? GEOSIntersection_r(g, p, q) : NULL;
    double found = 0.0;
    const bool is_good = both && GEOSArea_r(g, both, &found);
    if (g) {
        destroy(g, both);
        destroy(g, q);
        destroy(g, p);
        GEOS_finish_r(g);
    }
    if (!is_good) {
        return failed(err);
    }
    *area = found;
    return THAW_OK;
}

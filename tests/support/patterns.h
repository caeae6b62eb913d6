/* Random pattern sets, invented cloths and simple lays for the tests of `pieces`. */
#ifndef THAW_TESTS_PATTERNS_H
#define THAW_TESTS_PATTERNS_H

#include "check.h"

#include <geos_c.h>

#include "base/alloc.h"
#include "base/random.h"
#include "study/lay.h"
#include "study/lay_footprint.h"

#define PATTERN_PI 3.14159265358979323846

/* Uniform numbers in order. */
typedef struct dice {
    uint64_t seed, n;
} dice;

static inline double roll(dice *d)
{
    return thaw_random_uniform(d->seed, THAW_STREAM_TEST, d->n++);
}

static inline double between(dice *d, double low, double high)
{
    return low + (high - low) * roll(d);
}

/* A simple polygon: corners at rising angles round a middle, so that it may be concave; box at 0, 0. */
static inline thaw_polygon random_outline(dice *d, double size)
{
    double at[12][2];
    const int n = 4 + (int)(8.0 * roll(d));
    const double wide = between(d, 0.4, 1.0), high = between(d, 0.4, 1.0);
    for (int i = 0; i < n; i++) {
        const double angle = 2.0 * PATTERN_PI * (i + between(d, 0.1, 0.9)) / n, r = size * between(d, 0.25, 0.5);
        at[i][0] = wide * r * cos(angle);
        at[i][1] = high * r * sin(angle);
    }
    thaw_error err = {0};
    thaw_polygon p = {0, NULL};
    assert_int_equal(thaw_polygon_copy((const double(*)[2])at, n, &p, &err), THAW_OK);
    const thaw_extent e = thaw_polygon_extent(&p);
    const double shift[6] = {1.0, 0.0, 0.0, 1.0, -e.x0, -e.y0};
    thaw_polygon_map(&p, shift);
    return p;
}

/* Pieces of all kinds of wish; about `share` of the cloth's area. The caller releases their outlines. */
static inline void random_sheet(dice *d, double cloth_m2, double share, thaw_pattern_sheet *sheet)
{
    double area = 0.0;
    *sheet = (thaw_pattern_sheet){.one_way = roll(d) < 0.2, .gap_m = roll(d) < 0.3 ? 0.006 : 0.0};
    while (area < share * cloth_m2 && sheet->n < 12) {
        thaw_pattern_piece *p = &sheet->pieces[sheet->n];
        *p = (thaw_pattern_piece){.outline = random_outline(d, between(d, 0.08, 0.4)), .down = {0.0, 1.0}, .importance = between(d, 0.5, 2.0),
                                  .n_cut = 1 + (int)(3.0 * roll(d)), .may_turn = roll(d) < 0.7};
        snprintf(p->name, sizeof p->name, "piece %d", ++sheet->n);
        p->is_mirrored = p->n_cut == 2 && roll(d) < 0.7;
        p->n_wishes = (int)(3.0 * roll(d));
        for (int w = 0; w < p->n_wishes; w++) {
            p->wishes[w].kind = (thaw_wish_kind)((int)(2.99 * roll(d)) + 3 * w);
            p->wishes[w].lab[0] = 60.0;
            p->wishes[w].lab[1] = -20.0;
        }
        area += p->n_cut * thaw_polygon_area(&p->outline);
    }
}

static inline void release_sheet(thaw_pattern_sheet *sheet)
{
    for (int i = 0; i < sheet->n; i++) {
        thaw_polygon_release(&sheet->pieces[i].outline);
        thaw_polygon_release(&sheet->pieces[i].seam);
    }
    sheet->n = 0;
}

/* Blotches of blue on white, other ones in every outcome. Views are released by the caller. */
static inline void random_views(dice *d, double width, double length, double cell, int n, thaw_views *views)
{
    const int nx = (int)(width / cell + 0.5), ny = (int)(length / cell + 0.5);
    const double bare[3] = {95.0, 0.0, 3.0};
    thaw_error err = {0};
    thaw_image pictures[THAW_VIEWS_MOST];
    for (int m = 0; m < n; m++) {
        uint8_t *rgb = thaw_allocate((size_t)nx * (size_t)ny, 3, &err);
        double blot[9][3];
        assert_non_null(rgb);
        for (int b = 0; b < 9; b++) {
            blot[b][0] = between(d, 0.0, width);
            blot[b][1] = between(d, 0.0, length);
            blot[b][2] = between(d, 0.05, 0.25);
        }
        for (int k = 0; k < nx * ny; k++) {
            double dye = 0.0;
            for (int b = 0; b < 9; b++) {
                const double far = hypot((k % nx + 0.5) * cell - blot[b][0], (k / nx + 0.5) * cell - blot[b][1]) / blot[b][2];
                dye += exp(-far * far);
            }
            const double pale = exp(-1.5 * dye);
            rgb[3 * k] = (uint8_t)(240.0 * pale);
            rgb[3 * k + 1] = (uint8_t)(240.0 * (0.3 + 0.7 * pale));
            rgb[3 * k + 2] = (uint8_t)(240.0 * (0.6 + 0.4 * pale));
        }
        pictures[m] = (thaw_image){nx, ny, cell, rgb};
    }
    assert_int_equal(thaw_views_create(pictures, n, bare, views, &err), THAW_OK);
    for (int m = 0; m < n; m++) {
        thaw_release(pictures[m].rgb);
    }
}

/* ---- GEOS as a judge, on outlines that are put on the cloth here and not by the code that is judged ---- */

static inline GEOSGeometry *geos_of(GEOSContextHandle_t g, const thaw_pattern_piece *piece, const thaw_laid *laid)
{
    const thaw_polygon *p = &piece->outline;
    const thaw_extent e = thaw_polygon_extent(p);
    GEOSCoordSequence *s = GEOSCoordSeq_create_r(g, (unsigned)p->n + 1, 2);
    for (int i = 0; i <= p->n; i++) {
        double x = p->at[i % p->n][0], y = p->at[i % p->n][1];
        if (laid->is_mirrored) {
            x = e.x1 - x;
        }
        if (laid->is_turned) {
            x = e.x1 - x;
            y = e.y1 - y;
        }
        GEOSCoordSeq_setXY_r(g, s, (unsigned)i, x + 0.002 * laid->i, y + 0.002 * laid->j);
    }
    return GEOSGeom_createPolygon_r(g, GEOSGeom_createLinearRing_r(g, s), NULL, 0);
}

/* Largest area (m2) that two pieces share, and largest that lies beyond the cloth. */
static inline void geos_faults(const thaw_pattern_sheet *sheet, const thaw_lay *lay, double width, double length, double *overlap,
                               double *beyond)
{
    GEOSContextHandle_t g = GEOS_init_r();
    GEOSGeometry *cloth = GEOSGeom_createRectangle_r(g, 0.0, 0.0, width, length), *shapes[THAW_MAX_CUTS];
    *overlap = *beyond = 0.0;
    for (int k = 0; k < lay->n; k++) {
        shapes[k] = geos_of(g, &sheet->pieces[lay->at[k].piece], &lay->at[k]);
        assert_non_null(shapes[k]);
        GEOSGeometry *outside = GEOSDifference_r(g, shapes[k], cloth);
        double area = 0.0;
        assert_true(outside && GEOSArea_r(g, outside, &area));
        *beyond = fmax(*beyond, area);
        GEOSGeom_destroy_r(g, outside);
        for (int l = 0; l < k; l++) {
            GEOSGeometry *shared = GEOSIntersection_r(g, shapes[k], shapes[l]);
            assert_true(shared && GEOSArea_r(g, shared, &area));
            *overlap = fmax(*overlap, area);
            GEOSGeom_destroy_r(g, shared);
        }
    }
    for (int k = 0; k < lay->n; k++) {
        GEOSGeom_destroy_r(g, shapes[k]);
    }
    GEOSGeom_destroy_r(g, cloth);
    GEOS_finish_r(g);
}

/* A lay by chance: piece after piece on random places until none is shared; begins anew when one finds none. False after
 * many beginnings. */
static inline bool random_lay(dice *d, const thaw_pattern_sheet *sheet, double width, double length, bool one_way, thaw_lay *lay)
{
    for (int start = 0; start < 200; start++) {
        GEOSContextHandle_t g = GEOS_init_r();
        GEOSGeometry *shapes[THAW_MAX_CUTS];
        int n = 0;
        bool found = true;
        thaw_lay_list(sheet, lay);
        for (int k = 0; k < lay->n && found; k++) {
            const thaw_pattern_piece *piece = &sheet->pieces[lay->at[k].piece];
            const thaw_extent e = thaw_polygon_extent(&piece->outline);
            found = false;
            for (int t = 0; t < 300 && !found; t++) {
                lay->at[k].i = (int)(roll(d) * (floor((width - e.x1) / 0.002 + 1e-9) + 1.0));
                lay->at[k].j = (int)(roll(d) * (floor((length - e.y1) / 0.002 + 1e-9) + 1.0));
                lay->at[k].is_turned = piece->may_turn && !one_way && roll(d) < 0.5;
                lay->at[k].is_placed = true;
                GEOSGeometry *shape = geos_of(g, piece, &lay->at[k]);
                found = true;
                for (int l = 0; l < n && found; l++) {
                    found = GEOSIntersects_r(g, shape, shapes[l]) == 0;
                }
                if (found) {
                    shapes[n++] = shape;
                } else {
                    GEOSGeom_destroy_r(g, shape);
                }
            }
        }
        for (int l = 0; l < n; l++) {
            GEOSGeom_destroy_r(g, shapes[l]);
        }
        GEOS_finish_r(g);
        if (found) {
            return true;
        }
    }
    return false;
}

#endif

#include "setup/lay.h"

#include <math.h>
#include <stdbool.h>

#include "base/alloc.h"
#include "base/random.h"
#include "data/water.h"
#include "model/cover.h"
#include "setup/lay_area.h"

#define PI 3.141592653589793
#define COVER_SQUARE_M 0.008
/* A pinch between the fingers or off a spoon: how much, and how it spreads. Estimates. */
#define PINCH_KG 0.15e-3
#define PINCH_LONG_M 0.022
#define PINCH_WIDE_M 0.011
/* Powder is followed in parcels of 10 ug. As coarse by mass as powder of median 50 um, sigma_g 1.7, would be
 * 4 ug: computed. */
#define PARCELS_PER_PINCH 15000
/* Caked powder: lumps of so many parcels, 0.3 mg or 0.76 mm at 1300 kg/m3. Estimate. */
#define PARCELS_PER_LUMP 30
#define CARELESS 0.1               /* chance that a pinch is not aimed at ice: estimate */

typedef struct sprinkler {
    const thaw_specification *spec;
    const thaw_bundle *bundle;
    const thaw_dye_list *dyes;
    thaw_heap *heap;
    thaw_cover cover;              /* own */
    double *radius_m;              /* own, 0 for ice that is laid on later */
    thaw_spots spots;              /* own: of the zone at hand */
} sprinkler;

/* On which side of a piece a place lies, seen from its middle. */
static int side_of(double dx, double dy)
{
    return (int)lround(atan2(dy, dx) / (2.0 * PI) * THAW_HEAP_SIDES + THAW_HEAP_SIDES) % THAW_HEAP_SIDES;
}

/* Ice that lies over a place at the start; -1 where none does. */
static int ice_at(const sprinkler *s, double x, double y)
{
    return thaw_cover_find(&s->cover, x, y, -1, s->heap->x_m, s->heap->y_m, s->radius_m);
}

/* Powder number c, dry or as liquid, on a side of a piece, on a cell, or beside the work. */
static void put(sprinkler *s, int c, bool wet, bool lump, int side, int32_t cell, double mass_kg)
{
    thaw_heap *heap = s->heap;
    if (side >= 0) {
        (wet ? heap->poured_dye_kg[c] : heap->powder_kg[c])[side] += mass_kg;
    } else if (cell >= 0 && wet) {
        heap->wetted_dye_kg[c][cell] += mass_kg;
    } else if (cell >= 0) {
        double *on_cloth = lump ? heap->lump_kg_m2[c] : heap->fallen_kg_m2[c];
        on_cloth[cell] += mass_kg / (s->bundle->cell_m * s->bundle->cell_m);
    } else {
        heap->powder_lost_kg[c] += mass_kg;
    }
}

static void put_water(sprinkler *s, int side, int32_t cell, double water_kg)
{
    double *to = side >= 0 ? &s->heap->poured_kg[side] : (cell >= 0 ? &s->heap->wetted_kg[cell] : &s->heap->poured_lost_kg);
    *to += water_kg;
}

/* A parcel of the zone, and its part of the water, comes down at a place. */
static void land(sprinkler *s, const thaw_dye_zone *zone, bool lump, double x, double y, double mass_kg)
{
    const thaw_heap *heap = s->heap;
    const int entry = zone->under_ice ? -1 : ice_at(s, x, y);
    const int side = entry >= 0 ? entry * THAW_HEAP_SIDES + side_of(x - heap->x_m[entry], y - heap->y_m[entry]) : -1;
    const int32_t cell = thaw_bundle_open(s->bundle, x, y);
    const bool wet = zone->volume_m3 > 0.0;
    for (int part = 0; zone->colour && part < zone->colour->n_parts; part++) {
        int c = s->dyes->of_row[zone->colour->parts[part].component];
        put(s, c, wet, lump, side, cell, mass_kg * zone->colour->parts[part].share);
    }
    if (!zone->colour) {
        put(s, s->dyes->n, wet, false, side, cell, mass_kg);
    }
    if (wet) {
        put_water(s, side, cell, mass_kg / zone->mass_kg * zone->volume_m3 * THAW_WATER_DENSITY_KG_M3);
    }
}

/* Where the hand aims: over ice inside the zone, and one time in ten anywhere over the cloth. If a few
 * tries find no ice, over cloth; if no cloth either, where the first try fell. Under the ice: over cloth. */
static void aim(const sprinkler *s, const thaw_dye_zone *zone, uint64_t number, double *x, double *y)
{
    for (uint64_t t = 0; t < 30; t++) {
        double u[4], tx, ty;
        thaw_random_uniform4(s->spec->seed, THAW_STREAM_SPRINKLE, number * 32 + t, u);
        thaw_spots_place(&s->spots, u, &tx, &ty);
        bool cloth = thaw_area_on_cloth(&zone->area, s->bundle, tx, ty);
        bool ice = zone->under_ice || ice_at(s, tx, ty) >= 0;
        if (cloth || t == 0) {
            *x = tx;
            *y = ty;
        }
        if (cloth && (ice || u[3] < CARELESS)) {
            return;
        }
    }
}

/* The first parcels of n are those in lumps. */
static bool in_lump(const thaw_dye_zone *zone, uint64_t g, uint64_t n)
{
    return (double)g < zone->lumps * (double)n;
}

/* Number of the parcel with which parcel g of n falls: its own, or the first of its lump. */
static uint64_t falls_with(const thaw_dye_zone *zone, uint64_t g, uint64_t n)
{
    return in_lump(zone, g, n) ? g - g % PARCELS_PER_LUMP : g;
}

/* A parcel that would leave the zone or the cloth goes where it was aimed: people sprinkle over the
 * work, not over the floor. */
static void scatter(sprinkler *s, const thaw_dye_zone *zone, uint64_t pinch, double cx, double cy, double mass_kg)
{
    double u[4];
    thaw_random_uniform4(s->spec->seed, THAW_STREAM_SPRINKLE, pinch * 32 + 31, u);
    const double angle = PI * u[0], stretch = 0.6 + 0.8 * u[1];
    for (uint64_t g = 0; g < PARCELS_PER_PINCH; g++) {
        double z[2];
        thaw_random_normal2(s->spec->seed, THAW_STREAM_SPRINKLE, (pinch << 14) + ((uint64_t)1 << 61) + falls_with(zone, g, PARCELS_PER_PINCH), z);
        double along = z[0] * PINCH_LONG_M * stretch, across = z[1] * PINCH_WIDE_M / stretch;
        double x = cx + along * cos(angle) - across * sin(angle);
        double y = cy + along * sin(angle) + across * cos(angle);
        if (!thaw_area_on_cloth(&zone->area, s->bundle, x, y)) {
            x = cx;
            y = cy;
        }
        land(s, zone, in_lump(zone, g, PARCELS_PER_PINCH), x, y, mass_kg / PARCELS_PER_PINCH);
    }
}

/* Soda counts on after the most that dye can have. */
static void sprinkle_zone(sprinkler *s, const thaw_dye_zone *zone, int number)
{
    uint64_t first = (uint64_t)number << 40;
    double handfuls = zone->mass_kg * zone->clumping, even = zone->mass_kg - handfuls;
    int n = (int)ceil(handfuls / PINCH_KG);
    for (int p = 0; p < n; p++) {
        double x = 0.0, y = 0.0;
        aim(s, zone, first + (uint64_t)p, &x, &y);
        scatter(s, zone, first + (uint64_t)p, x, y, handfuls / n);
    }
    int parcels = even > 0.0 ? (int)ceil(even / PINCH_KG) * PARCELS_PER_PINCH : 0;
    for (int g = 0; g < parcels; g++) {
        double x = 0.0, y = 0.0;
        aim(s, zone, first + ((uint64_t)1 << 39) + falls_with(zone, (uint64_t)g, (uint64_t)parcels), &x, &y);
        land(s, zone, in_lump(zone, (uint64_t)g, (uint64_t)parcels), x, y, even / parcels);
    }
}

static bool any_liquid(const thaw_specification *spec)
{
    bool any = false;
    for (int z = 0; z < spec->n_dye; z++) {
        any = any || spec->dye[z].volume_m3 > 0.0;
    }
    return any;
}

static bool any_lumps(const thaw_specification *spec)
{
    bool any = false;
    for (int z = 0; z < spec->n_dye; z++) {
        any = any || spec->dye[z].lumps > 0.0;
    }
    return any;
}

static thaw_status prepare_liquid(sprinkler *s, thaw_error *err)
{
    thaw_heap *heap = s->heap;
    const size_t n_sides = (size_t)heap->n * THAW_HEAP_SIDES;
    heap->poured_kg = thaw_allocate(n_sides, sizeof(double), err);
    heap->wetted_kg = thaw_allocate(s->bundle->n, sizeof(double), err);
    if (!heap->poured_kg || !heap->wetted_kg) {
        return THAW_ERR_MEMORY;
    }
    for (int c = 0; c < heap->n_components + heap->has_soda; c++) {
        heap->poured_dye_kg[c] = thaw_allocate(n_sides, sizeof(double), err);
        heap->wetted_dye_kg[c] = thaw_allocate(s->bundle->n, sizeof(double), err);
        if (!heap->poured_dye_kg[c] || !heap->wetted_dye_kg[c]) {
            return THAW_ERR_MEMORY;
        }
    }
    return THAW_OK;
}

static thaw_status prepare(sprinkler *s, thaw_error *err)
{
    thaw_heap *heap = s->heap;
    heap->n_components = s->dyes->n;
    heap->has_soda = s->spec->n_soda > 0;
    for (int c = 0; c < heap->n_components + heap->has_soda; c++) {
        heap->powder_kg[c] = thaw_allocate((size_t)heap->n * THAW_HEAP_SIDES, sizeof(double), err);
        heap->fallen_kg_m2[c] = thaw_allocate(s->bundle->n, sizeof(double), err);
        if (!heap->powder_kg[c] || !heap->fallen_kg_m2[c]) {
            return THAW_ERR_MEMORY;
        }
        if (any_lumps(s->spec) && !(heap->lump_kg_m2[c] = thaw_allocate(s->bundle->n, sizeof(double), err))) {
            return THAW_ERR_MEMORY;
        }
    }
    if (any_liquid(s->spec) && prepare_liquid(s, err) != THAW_OK) {
        return THAW_ERR_MEMORY;
    }
    s->radius_m = thaw_allocate((size_t)heap->n, sizeof(double), err);
    if (!s->radius_m || thaw_cover_create(s->bundle->width_m, s->bundle->length_m, COVER_SQUARE_M, &s->cover, err) != THAW_OK) {
        return THAW_ERR_MEMORY;
    }
    for (int i = 0; i < heap->n; i++) {
        double d = cbrt(6.0 * heap->mass_kg[i] / heap->count[i] / (PI * THAW_ICE_DENSITY_KG_M3));
        const bool now = !heap->at_s || !(heap->at_s[i] > 0.0);
        s->radius_m[i] = now ? 0.5 * d * sqrt(heap->area_factor[i] * heap->count[i]) : 0.0;
    }
    return thaw_cover_build(&s->cover, heap->n, heap->x_m, heap->y_m, s->radius_m, err);
}

thaw_status thaw_lay_dye(const thaw_specification *spec, const thaw_bundle *bundle, const thaw_dye_list *dyes,
                         thaw_heap *heap, thaw_error *err)
{
    sprinkler s = {.spec = spec, .bundle = bundle, .dyes = dyes, .heap = heap};
    thaw_status status = prepare(&s, err);
    for (int z = 0; status == THAW_OK && z < spec->n_dye + spec->n_soda; z++) {
        const int soda = z - spec->n_dye;
        const thaw_dye_zone *zone = soda < 0 ? &spec->dye[z] : &spec->soda[soda];
        status = thaw_spots_create(&zone->area, bundle, &s.spots, err);
        if (status == THAW_OK) {
            sprinkle_zone(&s, zone, soda < 0 ? z : THAW_MAX_DYE_ZONES + soda);
        }
        thaw_spots_destroy(&s.spots);
    }
    thaw_cover_destroy(&s.cover);
    thaw_release(s.radius_m);
    return status;
}

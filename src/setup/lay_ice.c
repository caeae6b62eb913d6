#include "setup/lay.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/alloc.h"
#include "base/error.h"
#include "base/random.h"
#include "data/water.h"
#include "model/cover.h"
#include "setup/lay_area.h"

#define PI 3.141592653589793
/* Fine ice: more pieces than this in a zone are bundled into entries of equal pieces. */
#define MOST_ENTRIES 16000.0
/* Of so many places a hand takes the lowest. Estimate: levels the heap without making it flat. */
#define PLACES_TRIED 6
#define TRIES_TO_HIT_CLOTH 40
/* Squares of the height map on which pieces come to rest. */
#define REST_SQUARE_M 0.008
/* Ice that would stand more than so many times as high as its area is wide, were it round, falls off. Estimate, on the
 * high side: heaps lie at one half, and what holds a taller one, a box or a bag, is not in the model. */
#define HEIGHT_MOST 3.0
#define FEW_PIECES  3.0

typedef struct piece {
    double x_m, y_m, mass_kg, count, start_k, area_factor, top_m, at_s;
    int index;
} piece;

typedef struct pile {
    piece *pieces;                 /* own */
    int n, room;
    double *height_m;              /* own: of what lies there, over the tray */
    int nx, ny;
} pile;

static double radius_of(double mass_kg, double count, double area_factor)
{
    double d = cbrt(6.0 * mass_kg / count / (PI * THAW_ICE_DENSITY_KG_M3));
    return 0.5 * d * sqrt(area_factor * count);
}

/* Where a disc comes to rest: between the mean and the highest of what is under it. */
static double rest_height(const pile *p, double x, double y, double r, double rise, int put)
{
    int i0 = (int)floor((x - r) / REST_SQUARE_M), i1 = (int)floor((x + r) / REST_SQUARE_M);
    int j0 = (int)floor((y - r) / REST_SQUARE_M), j1 = (int)floor((y + r) / REST_SQUARE_M);
    double sum = 0.0, highest = 0.0;
    int n = 0;
    for (int j = j0; j <= j1; j++) {
        for (int i = i0; i <= i1; i++) {
            double dx = (i + 0.5) * REST_SQUARE_M - x, dy = (j + 0.5) * REST_SQUARE_M - y;
            int home = i == (int)floor(x / REST_SQUARE_M) && j == (int)floor(y / REST_SQUARE_M);
            if (i < 0 || j < 0 || i >= p->nx || j >= p->ny || (!home && dx * dx + dy * dy > r * r)) {
                continue;
            }
            double *h = &p->height_m[(size_t)j * (size_t)p->nx + (size_t)i];
            if (put) {
                *h = r < 0.5 * REST_SQUARE_M ? *h + rise * PI * r * r / (REST_SQUARE_M * REST_SQUARE_M) : rise;
            }
            sum += *h;
            highest = fmax(highest, *h);
            n++;
        }
    }
    return n ? 0.5 * (sum / n + highest) : 0.0;
}

static void drop(pile *p, const thaw_spots *spots, uint64_t seed, uint64_t number, piece *item)
{
    double best = HUGE_VAL, r = radius_of(item->mass_kg, item->count, item->area_factor);
    int found = 0;
    for (int t = 0; t < TRIES_TO_HIT_CLOTH && found < PLACES_TRIED; t++) {
        double u[4], x, y;
        thaw_random_uniform4(seed, THAW_STREAM_ICE_PLACE, number * 64 + (uint64_t)t, u);
        thaw_spots_place(spots, u, &x, &y);
        if (!thaw_area_on_cloth(spots->area, spots->bundle, x, y) && t + 1 < TRIES_TO_HIT_CLOTH) {
            continue;
        }
        found++;
        double h = rest_height(p, x, y, r, 0.0, 0);
        if (h < best) {
            best = h;
            item->x_m = x;
            item->y_m = y;
        }
    }
    /* Height of the entry for its volume, with the voids of the packing. */
    double volume = item->mass_kg / THAW_ICE_DENSITY_KG_M3;
    double rise = volume / (PI * r * r) / 0.57;
    item->top_m = best + rise;
    rest_height(p, item->x_m, item->y_m, r, r < 0.5 * REST_SQUARE_M ? rise : best + rise, 1);
}

static thaw_status reserve(pile *p, int more, thaw_error *err)
{
    if (p->n + more <= p->room) {
        return THAW_OK;
    }
    int room = (p->n + more) * 2;
    piece *pieces = thaw_allocate((size_t)room, sizeof *pieces, err);
    if (!pieces) {
        return THAW_ERR_MEMORY;
    }
    for (int i = 0; i < p->n; i++) {
        pieces[i] = p->pieces[i];
    }
    thaw_release(p->pieces);
    p->pieces = pieces;
    p->room = room;
    return THAW_OK;
}

/* Given by mass, or by how deep it lies over its area. */
static double zone_mass_kg(const thaw_ice_zone *z, const thaw_bundle *bundle)
{
    return z->depth_m > 0.0
               ? THAW_ICE_DENSITY_KG_M3 * z->kind->packing * z->depth_m * thaw_area_size_m2(&z->area, bundle)
               : z->mass_kg;
}

static void weight_text(double kg, char *text, size_t size)
{
    snprintf(text, size, kg < 0.9995 ? "%.3g g" : "%.3g kg", kg < 0.9995 ? 1e3 * kg : kg);
}

/* A tower that no hand could heap is refused: all its flanks would melt at once, as no ice does. A few pieces may lie there
 * whatever their size. */
static thaw_status check_tower(const thaw_ice_zone *z, const thaw_bundle *bundle, double zone_kg, double piece_kg, thaw_error *err)
{
    const double area_m2 = thaw_area_size_m2(&z->area, bundle), most_m = HEIGHT_MOST * 2.0 * sqrt(area_m2 / PI);
    const double high_m = area_m2 > 0.0 ? zone_kg / (THAW_ICE_DENSITY_KG_M3 * z->kind->packing * area_m2) : 0.0;
    char all[32], most[32];
    if (high_m <= most_m || zone_kg <= FEW_PIECES * piece_kg) {
        return THAW_OK;
    }
    weight_text(zone_kg, all, sizeof all);
    weight_text(0.995 * zone_kg * most_m / high_m, most, sizeof most);
    return thaw_fail(err, THAW_ERR_SCENARIO,
                     "ice: %s of %s would stand %.0f cm high on the %.2g cm2 of cloth in its area `%s`, and falls off from %.2g cm on\n"
                     "    give less, up to %s, or give it a larger area",
                     all, z->kind->name, 1e2 * high_m, 1e4 * area_m2,
                     z->area.shape == THAW_AREA_PICTURE ? z->area.picture : z->area.name, 1e2 * most_m, most);
}

static thaw_status lay_zone(const thaw_specification *spec, int zone, const thaw_spots *spots, pile *p, thaw_error *err)
{
    const thaw_ice_zone *z = &spec->ice[zone];
    const double zone_kg = zone_mass_kg(z, spots->bundle);
    /* Mean mass of a lognormal diameter: median mass x exp(4.5 sigma^2). */
    double mean_kg = THAW_ICE_DENSITY_KG_M3 * PI / 6.0 * pow(z->diameter_m, 3.0) *
                     exp(4.5 * z->kind->sigma_ln * z->kind->sigma_ln);
    thaw_status status = check_tower(z, spots->bundle, zone_kg, mean_kg * pow(fmax(1.0, z->kind->diameter_m / z->diameter_m), 3.0), err);
    if (status != THAW_OK) {
        return status;
    }
    double count = fmax(1.0, floor(zone_kg / mean_kg / MOST_ENTRIES));
    double left = zone_kg;
    for (uint64_t i = 0; left > 0.0; i++) {
        uint64_t number = ((uint64_t)zone << 32) + i;
        double d = z->diameter_m * exp(z->kind->sigma_ln * thaw_random_normal(spec->seed, THAW_STREAM_ICE_SIZE, number));
        double mass = count * THAW_ICE_DENSITY_KG_M3 * PI / 6.0 * d * d * d;
        /* The last piece is what remains; a sliver joins the one before. */
        if (mass > left || left - mass < 0.05 * mass) {
            mass = left;
        }
        left -= mass;
        if (reserve(p, 1, err) != THAW_OK) {
            return THAW_ERR_MEMORY;
        }
        piece *item = &p->pieces[p->n];
        *item = (piece){.mass_kg = mass, .count = count, .start_k = z->start_k,
                        .area_factor = z->kind->area_factor, .at_s = z->at_s, .index = p->n};
        drop(p, spots, spec->seed, number, item);
        p->n++;
    }
    return THAW_OK;
}

static int higher_first(const void *a, const void *b)
{
    const piece *pa = a, *pb = b;
    if (pa->top_m != pb->top_m) {
        return pa->top_m > pb->top_m ? -1 : 1;
    }
    return pa->index - pb->index;
}

static thaw_status to_heap(const thaw_specification *spec, const thaw_bundle *bundle, const pile *p, thaw_heap *out,
                           thaw_error *err)
{
    thaw_heap heap = {.n = p->n};
    bool any_later = false;
    double **arrays[] = {&heap.x_m, &heap.y_m, &heap.mass_kg, &heap.count, &heap.start_k, &heap.area_factor};
    for (size_t a = 0; a < sizeof arrays / sizeof *arrays; a++) {
        if (!(*arrays[a] = thaw_allocate((size_t)p->n, sizeof(double), err))) {
            thaw_heap_release(&heap);
            return THAW_ERR_MEMORY;
        }
    }
    for (int i = 0; i < p->n; i++) {
        const piece *q = &p->pieces[i];
        heap.x_m[i] = q->x_m;
        heap.y_m[i] = q->y_m;
        heap.mass_kg[i] = q->mass_kg;
        heap.count[i] = q->count;
        heap.start_k[i] = q->start_k;
        heap.area_factor[i] = q->area_factor;
        heap.mass_total_kg += q->mass_kg;
        any_later = any_later || q->at_s > 0.0;
    }
    for (int z = 0; heap.mass_total_kg > 0.0 && z < spec->n_ice; z++) {
        heap.packing += spec->ice[z].kind->packing * zone_mass_kg(&spec->ice[z], bundle) / heap.mass_total_kg;
    }
    if (any_later && !(heap.at_s = thaw_allocate((size_t)p->n, sizeof(double), err))) {
        thaw_heap_release(&heap);
        return THAW_ERR_MEMORY;
    }
    for (int i = 0; any_later && i < p->n; i++) {
        heap.at_s[i] = p->pieces[i].at_s;
    }
    *out = heap;
    return THAW_OK;
}

/* Later ice lies on earlier ice: zones in the order of their hours, then of the file. */
static thaw_status lay_zones(const thaw_specification *spec, const thaw_bundle *bundle, pile *p, thaw_error *err)
{
    int order[THAW_MAX_ICE_ZONES];
    for (int z = 0; z < spec->n_ice; z++) {
        int at = z;
        for (; at > 0 && spec->ice[order[at - 1]].at_s > spec->ice[z].at_s; at--) {
            order[at] = order[at - 1];
        }
        order[at] = z;
    }
    for (int z = 0; z < spec->n_ice; z++) {
        thaw_spots spots;
        thaw_status status = thaw_spots_create(&spec->ice[order[z]].area, bundle, &spots, err);
        if (status != THAW_OK) {
            return status;
        }
        status = lay_zone(spec, order[z], &spots, p, err);
        thaw_spots_destroy(&spots);
        if (status != THAW_OK) {
            return status;
        }
    }
    return THAW_OK;
}

thaw_status thaw_lay_ice(const thaw_specification *spec, const thaw_bundle *bundle, thaw_heap *out, thaw_error *err)
{
    pile p = {0};
    thaw_status status = THAW_ERR_MEMORY;
    p.nx = (int)(bundle->width_m / REST_SQUARE_M) + 1;
    p.ny = (int)(bundle->length_m / REST_SQUARE_M) + 1;
    p.height_m = thaw_allocate((size_t)p.nx * (size_t)p.ny, sizeof(double), err);
    if (!p.height_m) {
        goto fail;
    }
    status = lay_zones(spec, bundle, &p, err);
    if (status != THAW_OK) {
        goto fail;
    }
    if (p.n > 0) { /* no ice at all: no array to sort */
        qsort(p.pieces, (size_t)p.n, sizeof *p.pieces, higher_first);
    }
    status = to_heap(spec, bundle, &p, out, err);
fail:
    thaw_release(p.pieces);
    thaw_release(p.height_m);
    return status;
}

void thaw_heap_release(thaw_heap *heap)
{
    thaw_release(heap->x_m);
    thaw_release(heap->y_m);
    thaw_release(heap->mass_kg);
    thaw_release(heap->count);
    thaw_release(heap->start_k);
    thaw_release(heap->area_factor);
    thaw_release(heap->at_s);
    thaw_release(heap->poured_kg);
    thaw_release(heap->wetted_kg);
    for (int c = 0; c < THAW_MAX_POWDERS; c++) {
        thaw_release(heap->powder_kg[c]);
        thaw_release(heap->fallen_kg_m2[c]);
        thaw_release(heap->lump_kg_m2[c]);
        thaw_release(heap->poured_dye_kg[c]);
        thaw_release(heap->wetted_dye_kg[c]);
    }
    *heap = (thaw_heap){0};
}

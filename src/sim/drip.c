#include "sim/drip.h"

#include <math.h>

#include "base/alloc.h"
#include "base/random.h"
#include "sim/powder.h"

#define PI 3.141592653589793
#define POINT_EVERY_M 0.012        /* of diameter: estimate */
#define MOST_POINTS 8
#define SIDE_MIDDLE 0.67           /* of the radius: mean distance of a place on a disc from its middle */
#define SHARE_SIGMA 0.8            /* unequal flow between points, ln: estimate */
#define EPOCH_SHARE 0.3            /* points are drawn anew when so much mass is left: d falls by a third */

static int count_wetted(const thaw_heap *heap, size_t n_cells)
{
    int n = 0;
    for (size_t k = 0; heap->wetted_kg && k < n_cells; k++) {
        n += heap->wetted_kg[k] > 0.0;
    }
    return n;
}

static thaw_status allocate(thaw_drip *d, thaw_error *err)
{
    const size_t n = (size_t)d->heap->n, points = (size_t)d->n_points;
    double **per_point[] = {&d->px, &d->py, &d->share, &d->flow_kg};
    for (size_t a = 0; a < sizeof per_point / sizeof *per_point; a++) {
        if (!(*per_point[a] = thaw_allocate(points, sizeof(double), err))) {
            return THAW_ERR_MEMORY;
        }
    }
    d->pour_kg = d->heap->poured_kg ? thaw_allocate(points, sizeof(double), err) : NULL;
    if (d->heap->poured_kg && !d->pour_kg) {
        return THAW_ERR_MEMORY;
    }
    d->n_wetted = count_wetted(d->heap, d->bundle->n);
    d->epoch = thaw_allocate(n, sizeof(int), err);
    d->epoch_kg = thaw_allocate(n, sizeof(double), err);
    d->room = thaw_splash_room(&d->splash) + d->n_wetted;
    d->landings = thaw_allocate((size_t)d->room + 1, sizeof *d->landings, err);
    if (!d->epoch || !d->epoch_kg || !d->landings) {
        return THAW_ERR_MEMORY;
    }
    for (int c = 0; c < d->n_powders; c++) {
        d->powder_kg[c] = thaw_allocate(points, sizeof(double), err);
        d->flow_dye_kg[c] = thaw_allocate(points, sizeof(double), err);
        d->landed_dye_kg[c] = thaw_allocate((size_t)d->room + 1, sizeof(double), err);
        if (!d->powder_kg[c] || !d->flow_dye_kg[c] || !d->landed_dye_kg[c]) {
            return THAW_ERR_MEMORY;
        }
        if (d->pour_kg && !(d->pour_dye_kg[c] = thaw_allocate(points, sizeof(double), err))) {
            return THAW_ERR_MEMORY;
        }
    }
    return THAW_OK;
}

static int points_of(const thaw_heap *heap, int i)
{
    double d = cbrt(6.0 * heap->mass_kg[i] / heap->count[i] / (PI * THAW_ICE_DENSITY_KG_M3));
    int n = (int)lround(d / POINT_EVERY_M);
    return n < 1 ? 1 : (n > MOST_POINTS ? MOST_POINTS : n);
}

/* The drip point of piece i nearest to a place given in units of its radius. */
static int nearest_point(const thaw_drip *d, int i, double x, double y)
{
    int best = d->first_point[i];
    double least = HUGE_VAL;
    for (int p = d->first_point[i]; p < d->first_point[i + 1]; p++) {
        double r2 = (d->px[p] - x) * (d->px[p] - x) + (d->py[p] - y) * (d->py[p] - y);
        if (r2 < least) {
            least = r2;
            best = p;
        }
    }
    return best;
}

/* The point of piece i nearest to a place on the tray. */
static int point_under(const thaw_drip *d, const thaw_melt *melt, int i, double x, double y)
{
    const double r = melt->radius_m[i];
    return nearest_point(d, i, (x - d->heap->x_m[i]) / r, (y - d->heap->y_m[i]) / r);
}

/* What the old points of piece i held goes to what is now the nearest; x and y are the old places. */
static void hand_over(const thaw_drip *d, int i, const double *x, const double *y, double *amount_kg)
{
    const int first = d->first_point[i], n = d->first_point[i + 1] - first;
    double before[MOST_POINTS], *on = amount_kg + first;
    for (int p = 0; p < n; p++) {
        before[p] = on[p];
        on[p] = 0.0;
    }
    for (int p = 0; p < n; p++) {
        on[nearest_point(d, i, x[p], y[p]) - first] += before[p];
    }
}

/* New places and shares. */
static void draw_points(thaw_drip *d, int i, double mass_kg)
{
    const int first = d->first_point[i];
    double total = 0.0, x[MOST_POINTS], y[MOST_POINTS];
    int epoch = d->epoch[i]++;
    for (int p = first; p < d->first_point[i + 1]; p++) {
        double u[4];
        uint64_t index = ((uint64_t)p << 8) + (uint64_t)(epoch & 255);
        thaw_random_uniform4(d->seed, THAW_STREAM_DRIP, index, u);
        double r = 0.95 * sqrt(u[1]), z = sqrt(-2.0 * log(u[2])) * cos(2.0 * PI * u[3]);
        x[p - first] = d->px[p];
        y[p - first] = d->py[p];
        d->px[p] = r * cos(2.0 * PI * u[0]);
        d->py[p] = r * sin(2.0 * PI * u[0]);
        d->share[p] = exp(SHARE_SIGMA * z);
        total += d->share[p];
    }
    for (int p = first; p < d->first_point[i + 1]; p++) {
        d->share[p] /= total;
    }
    d->epoch_kg[i] = mass_kg;
    for (int c = 0; c < d->n_powders; c++) {
        hand_over(d, i, x, y, d->powder_kg[c]);
        if (d->pour_kg) {
            hand_over(d, i, x, y, d->pour_dye_kg[c]);
        }
    }
    if (d->pour_kg) {
        hand_over(d, i, x, y, d->pour_kg);
    }
}

/* Powder and liquid as they were put on: each side of a piece to its nearest point. */
static void take_powder(thaw_drip *d, int i)
{
    for (int side = 0; side < THAW_HEAP_SIDES; side++) {
        double angle = 2.0 * PI * side / THAW_HEAP_SIDES;
        int p = nearest_point(d, i, SIDE_MIDDLE * cos(angle), SIDE_MIDDLE * sin(angle));
        for (int c = 0; c < d->n_powders; c++) {
            d->powder_kg[c][p] += d->heap->powder_kg[c][i * THAW_HEAP_SIDES + side];
            if (d->pour_kg) {
                d->pour_dye_kg[c][p] += d->heap->poured_dye_kg[c][i * THAW_HEAP_SIDES + side];
            }
        }
        if (d->pour_kg) {
            d->pour_kg[p] += d->heap->poured_kg[i * THAW_HEAP_SIDES + side];
        }
    }
}

static void set_dissolution(thaw_drip *d)
{
    const double ratio = thaw_powder_solubility_ratio(THAW_ICE_POINT_K);
    const double speed = thaw_powder_speed_ratio(THAW_ICE_POINT_K);
    for (int c = 0; c < d->dyes->n; c++) {
        const thaw_component *dye = d->dyes->components[c];
        d->dissolve_s[c] = thaw_powder_life_s(dye) / speed;
        d->soluble_kg_kg[c] = ratio * dye->solubility_kg_m3 / THAW_WATER_DENSITY_KG_M3;
    }
    d->dissolve_s[d->dyes->n] = thaw_soda_life_s(THAW_ICE_POINT_K);
    d->soluble_kg_kg[d->dyes->n] = thaw_soda_solubility_kg_m3(THAW_ICE_POINT_K) / THAW_WATER_DENSITY_KG_M3;
}

thaw_status thaw_drip_create(const thaw_heap *heap, const thaw_bundle *bundle, const thaw_dye_list *dyes,
                             uint64_t seed, double *const *fallen_kg_m2, thaw_drip *out, thaw_error *err)
{
    thaw_drip d = {.heap = heap, .bundle = bundle, .dyes = dyes, .seed = seed,
                   .n_powders = dyes->n + heap->has_soda};
    d.first_point = thaw_allocate((size_t)heap->n + 1, sizeof(int), err);
    if (!d.first_point || thaw_splash_create(bundle, d.n_powders, &d.splash, err) != THAW_OK) {
        goto fail;
    }
    for (int i = 0; i < heap->n; i++) {
        d.first_point[i + 1] = d.first_point[i] + points_of(heap, i);
    }
    d.n_points = d.first_point[heap->n];
    if (allocate(&d, err) != THAW_OK) {
        goto fail;
    }
    for (int i = 0; i < heap->n; i++) {
        draw_points(&d, i, heap->mass_kg[i]);
        take_powder(&d, i);
    }
    for (int c = 0; c < d.n_powders; c++) {
        d.fallen_kg_m2[c] = fallen_kg_m2[c];
        d.missed_dye_kg[c] = heap->powder_lost_kg[c];
    }
    set_dissolution(&d);
    *out = d;
    return THAW_OK;
fail:
    thaw_drip_destroy(&d);
    return THAW_ERR_MEMORY;
}

void thaw_drip_destroy(thaw_drip *d)
{
    void *blocks[] = {d->first_point, d->epoch, d->epoch_kg, d->px, d->py, d->share, d->flow_kg, d->landings, d->pour_kg};
    for (size_t b = 0; b < sizeof blocks / sizeof *blocks; b++) {
        thaw_release(blocks[b]);
    }
    thaw_splash_destroy(&d->splash);
    for (int c = 0; c < THAW_MAX_POWDERS; c++) {
        thaw_release(d->powder_kg[c]);
        thaw_release(d->flow_dye_kg[c]);
        thaw_release(d->landed_dye_kg[c]);
        thaw_release(d->pour_dye_kg[c]);
        thaw_release(d->spilt_kg[c]);
    }
    *d = (thaw_drip){0};
}

thaw_status thaw_drip_keep_spilt(thaw_drip *drip, size_t n_squares, thaw_error *err)
{
    for (int c = 0; c < drip->n_powders; c++) {
        if (!(drip->spilt_kg[c] = thaw_allocate(n_squares, sizeof(double), err))) {
            return THAW_ERR_MEMORY;
        }
    }
    return THAW_OK;
}

static int32_t cell_at(const thaw_bundle *b, int i, int j)
{
    return i < 0 || j < 0 || i >= b->tray_nx || j >= b->tray_ny ? -1 : b->top[(size_t)j * (size_t)b->tray_nx + (size_t)i];
}

/* What point p of the melt lets go lands on the cloth, or beside it, round a place. */
static void wet_cloth(thaw_drip *d, const thaw_melt *melt, int p, double x, double y)
{
    const size_t square = thaw_cover_square(&melt->cover, x, y);
    const int hits = thaw_splash_hits(&d->splash, x, y);
    const double lost = hits ? d->shed[square] : 1.0;
    double dye_kg[THAW_MAX_POWDERS];
    d->missed_kg += lost * d->flow_kg[p];
    for (int c = 0; c < d->n_powders; c++) {
        dye_kg[c] = (1.0 - lost) * d->flow_dye_kg[c][p];
        d->missed_dye_kg[c] += lost * d->flow_dye_kg[c][p];
        if (d->spilt_kg[c]) {
            d->spilt_kg[c][square] += lost * d->flow_dye_kg[c][p];
        }
    }
    if (lost < 1.0) {
        thaw_splash_add(&d->splash, x, y, hits, (1.0 - lost) * d->flow_kg[p], dye_kg);
    }
}

/* Powder near point p dissolves in the water that leaves there. */
static void dissolve(thaw_drip *d, int p, double dt_s)
{
    for (int c = 0; c < d->n_powders; c++) {
        double free = d->flow_kg[p] * d->soluble_kg_kg[c] - d->flow_dye_kg[c][p];
        double ready = d->powder_kg[c][p] * (1.0 - exp(-dt_s / d->dissolve_s[c]));
        double gone = fmax(0.0, fmin(free, ready));
        d->powder_kg[c][p] -= gone;
        d->flow_dye_kg[c][p] += gone;
    }
}

/* The piece is gone: what powder it still carried falls on what was under it. */
static void drop_powder(thaw_drip *d, const thaw_melt *melt, int i)
{
    const thaw_heap *h = d->heap;
    int lower = thaw_cover_find(&melt->cover, h->x_m[i], h->y_m[i], i, h->x_m, h->y_m, melt->radius_m);
    int32_t cell = cell_at(d->bundle, (int)floor(h->x_m[i] / d->bundle->tray_m), (int)floor(h->y_m[i] / d->bundle->tray_m));
    double area = d->bundle->cell_m * d->bundle->cell_m;
    for (int p = d->first_point[i]; p < d->first_point[i + 1]; p++) {
        for (int c = 0; c < d->n_powders; c++) {
            double m = d->powder_kg[c][p];
            if (lower >= 0 && melt->mass_kg[lower] > 0.0) {
                d->powder_kg[c][point_under(d, melt, lower, h->x_m[i], h->y_m[i])] += m;
            } else if (cell >= 0) {
                d->fallen_kg_m2[c][cell] += m / area;
            } else {
                d->missed_dye_kg[c] += m;
            }
            d->powder_kg[c][p] = 0.0;
        }
    }
}

/* What point p of piece i lets go: to the piece below, or to the cloth. */
static void pass_down(thaw_drip *d, const thaw_melt *melt, int i, int p)
{
    const thaw_heap *h = d->heap;
    double x = h->x_m[i] + d->px[p] * melt->radius_m[i], y = h->y_m[i] + d->py[p] * melt->radius_m[i];
    int lower = thaw_cover_find(&melt->cover, x, y, i, h->x_m, h->y_m, melt->radius_m);
    if (lower < 0) {
        wet_cloth(d, melt, p, x, y);
        return;
    }
    int q = point_under(d, melt, lower, x, y);
    d->flow_kg[q] += d->flow_kg[p];
    for (int c = 0; c < d->n_powders; c++) {
        d->flow_dye_kg[c][q] += d->flow_dye_kg[c][p];
    }
}

/* Every piece's own melt and its share of what is poured on it, before what comes from above. */
static void start_flows(thaw_drip *d, const thaw_melt *melt)
{
    for (int i = 0; i < d->heap->n; i++) {
        for (int p = d->first_point[i]; p < d->first_point[i + 1]; p++) {
            d->flow_kg[p] = d->share[p] * melt->released_kg[i];
            for (int c = 0; c < d->n_powders; c++) {
                d->flow_dye_kg[c][p] = 0.0;
            }
        }
    }
    for (int p = 0; d->pour_kg && d->pour_share > 0.0 && p < d->n_points; p++) {
        d->flow_kg[p] += d->pour_share * d->pour_kg[p];
        for (int c = 0; c < d->n_powders; c++) {
            d->flow_dye_kg[c][p] += d->pour_share * d->pour_dye_kg[c][p];
        }
    }
}

/* Liquid squirted straight on the cloth. */
static void wet_directly(thaw_drip *d)
{
    const thaw_heap *h = d->heap;
    for (size_t k = 0; h->wetted_kg && d->pour_share > 0.0 && k < d->bundle->n; k++) {
        if (h->wetted_kg[k] > 0.0) {
            int l = d->n_landings++;
            d->landings[l] = (thaw_landing){(int32_t)k, d->pour_share * h->wetted_kg[k]};
            for (int c = 0; c < d->n_powders; c++) {
                d->landed_dye_kg[c][l] = d->pour_share * h->wetted_dye_kg[c][k];
            }
        }
    }
}

void thaw_drip_step(thaw_drip *drip, const thaw_melt *melt, const double *shed, double dt_s)
{
    drip->shed = shed;
    start_flows(drip, melt);
    for (int i = 0; i < drip->heap->n; i++) {
        for (int p = drip->first_point[i]; p < drip->first_point[i + 1]; p++) {
            if (drip->flow_kg[p] > 0.0) {
                dissolve(drip, p, dt_s);
                pass_down(drip, melt, i, p);
            }
        }
        if (melt->radius_m[i] > 0.0 && melt->mass_kg[i] <= 0.0) {
            drop_powder(drip, melt, i);
        } else if (melt->mass_kg[i] > 0.0 && melt->mass_kg[i] < EPOCH_SHARE * drip->epoch_kg[i]) {
            draw_points(drip, i, melt->mass_kg[i]);
        }
    }
    drip->n_landings = thaw_splash_take(&drip->splash, drip->landings, drip->landed_dye_kg);
    wet_directly(drip);
}

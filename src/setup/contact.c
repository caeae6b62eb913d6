/* Columns: the cells over one tray square, from highest to lowest, stored one column after the
 * other. A cell's partners above and below stand in its own or the eight columns around it. */
#include "setup/contact.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "base/alloc.h"
#include "base/error.h"
#include "base/random.h"
#include "setup/spline.h"

/* name, value, unit, source */
static const double reach_cells = 0.8;        /* cells; layers half a cell out of step both ways are 0.71 apart */
static const double straightness = 0.7;       /* way in space / along the cloth of one panel; half circle 0.64 */
static const double same_fold_cells = 3.0;    /* cells, the cloth of one tight crease */
static const double tight_fold = 2.5;         /* cloth thicknesses, height of a tight crease; estimate */
static const double share_stacked = 0.1;      /* contact share of stacked cloth; look notes */
static const double share_pressed = 0.3;      /* contact share of pressed cloth; look notes */
static const double fading_gap_m = 0.003;     /* m, e-folding of touch beyond that; look notes */
static const double press_per_layer = 0.08;   /* growth of contact per layer above; estimate */
static const double uneven_sigma = 0.5;       /* spread of the lognormal unevenness; look notes */
static const double uneven_lattice_m = 0.006; /* m, unevenness correlates over about one such step; estimate */
static const double beside_share = 0.3;       /* of the thickness: cells less apart across the cloth are one layer; computed */
static const double same_height_m = 1e-9;     /* m, rounding */
static const int inside_neighbours = 5;       /* of 8: an empty square with so many is a hole, not outside; computed */

typedef struct contact_work {
    const thaw_bundle *b;
    double thickness_m;
    int32_t *start;                /* own, squares + 1 */
    int32_t *cells;                /* own, n: the columns */
    int32_t *above;                /* own, n */
    int8_t *facing;                /* own, n: 1 if the cloth lies face up, -1 face down */
    int lattice_nx;
    float *lattice;                /* own: standard normals */
} contact_work;

typedef struct ranked {
    double z_m;
    int32_t k;
} ranked;

static int highest_first(const void *left, const void *right)
{
    const ranked *a = left, *b = right;
    if (a->z_m != b->z_m)
        return a->z_m > b->z_m ? -1 : 1;
    return (a->k > b->k) - (a->k < b->k);
}

static thaw_status fill_order(thaw_bundle *b, thaw_error *err)
{
    ranked *rank = thaw_allocate(b->n, sizeof *rank, err);
    if (!rank)
        return THAW_ERR_MEMORY;
    for (size_t k = 0; k < b->n; k++)
        rank[k] = (ranked){.z_m = b->z_m[k], .k = (int32_t)k};
    qsort(rank, b->n, sizeof *rank, highest_first);
    for (size_t i = 0; i < b->n; i++)
        b->order[i] = rank[i].k;
    thaw_release(rank);
    return THAW_OK;
}

static int square_along(double place_m, double tray_m, int count)
{
    int i = (int)(place_m / tray_m);
    return i < count ? i : count - 1;
}

static void fill_columns(thaw_bundle *b, contact_work *work)
{
    size_t squares = (size_t)b->tray_nx * (size_t)b->tray_ny;
    size_t n_cloth = 0;
    for (size_t k = 0; k < b->n; k++) {
        int i = square_along(b->x_m[k], b->tray_m, b->tray_nx), j = square_along(b->y_m[k], b->tray_m, b->tray_ny);
        b->tray[k] = j * b->tray_nx + i;
        work->start[b->tray[k] + 1] += thaw_bundle_is_cloth(b, k);
        n_cloth += thaw_bundle_is_cloth(b, k);
    }
    for (size_t s = 0; s < squares; s++)
        work->start[s + 1] += work->start[s];
    for (size_t i = b->n; i-- > 0;) { /* from behind, so that start ends where each column begins */
        int32_t k = b->order[i];
        if (!thaw_bundle_is_cloth(b, (size_t)k))
            continue;
        work->cells[--work->start[b->tray[k] + 1]] = k;
    }
    for (size_t s = 0; s < squares; s++)
        work->start[s] = work->start[s + 1];
    work->start[squares] = (int32_t)n_cloth;
}

/* Of the steps to both neighbours the one longer in plan: the other may straddle a crease. */
static void step_along(const thaw_bundle *b, size_t k, size_t stride, bool has_before, bool has_after, double out[3])
{
    double back[3] = {0.0, 0.0, 0.0}, ahead[3] = {0.0, 0.0, 0.0};
    const double *of[3] = {b->x_m, b->y_m, b->z_m};
    for (int c = 0; c < 3; c++) {
        back[c] = has_before ? of[c][k] - of[c][k - stride] : 0.0;
        ahead[c] = has_after ? of[c][k + stride] - of[c][k] : 0.0;
    }
    bool forward = ahead[0] * ahead[0] + ahead[1] * ahead[1] > back[0] * back[0] + back[1] * back[1];
    for (int c = 0; c < 3; c++)
        out[c] = forward ? ahead[c] : back[c];
}

/* Normal of the cloth in a cell, as long as its area; z is below 0 where it lies face down. */
static void normal_of(const thaw_bundle *b, size_t k, double out[3])
{
    const int i = (int)(k % (size_t)b->nx), j = (int)(k / (size_t)b->nx);
    bool leaves = j + 1 == b->ny - b->hung_rows; /* the next row lies far off in the plan */
    const size_t nx = (size_t)b->nx;
    double u[3], v[3];
    step_along(b, k, 1, i > 0 && thaw_bundle_joins_right(b, k - 1), thaw_bundle_joins_right(b, k), u);
    step_along(b, k, nx, j > 0 && thaw_bundle_joins_down(b, k - nx), thaw_bundle_joins_down(b, k) && !leaves, v);
    for (int c = 0; c < 3; c++)
        out[c] = u[(c + 1) % 3] * v[(c + 2) % 3] - u[(c + 2) % 3] * v[(c + 1) % 3];
}

static void fill_facing(const thaw_bundle *b, int8_t *facing)
{
#pragma omp parallel for schedule(static) default(none) shared(b, facing)
    for (size_t k = 0; k < b->n; k++) {
        double normal[3];
        normal_of(b, k, normal);
        facing[k] = normal[2] < 0.0 ? -1 : 1;
    }
}

/* Whether q counts as another layer over or under k: near enough in plan, and not a part of the
 * panel k stands in. Along a panel the way in space is nearly the way along the cloth; both sides
 * of a tight crease are layers too, though close along the cloth. */
static bool is_other_layer(const contact_work *work, int32_t k, int32_t q)
{
    const thaw_bundle *b = work->b;
    double dx = b->x_m[q] - b->x_m[k], dy = b->y_m[q] - b->y_m[k], dz = b->z_m[q] - b->z_m[k];
    double reach = reach_cells * b->cell_m, plan = dx * dx + dy * dy;
    if (plan > reach * reach)
        return false;
    if (b->panel && q % b->nx / b->sheet_nx != k % b->nx / b->sheet_nx)
        return true; /* front and back, however near each other in the grid */
    double du = q % b->nx - k % b->nx, dv = q / b->nx - k / b->nx;
    double along = (du * du + dv * dv) * b->cell_m * b->cell_m;
    double near = same_fold_cells * b->cell_m;
    if (plan + dz * dz < straightness * straightness * along && along > near * near)
        return true;
    return work->facing[k] != work->facing[q] && fabs(dz) < tight_fold * work->thickness_m;
}

/* First place in a column, highest first, that is lower than z. */
static int32_t first_lower(const contact_work *work, int32_t from, int32_t to, double z_m)
{
    while (from < to) {
        int32_t middle = from + (to - from) / 2;
        if (work->b->z_m[work->cells[middle]] < z_m)
            to = middle;
        else
            from = middle + 1;
    }
    return from;
}

/* Of cells at the same height, which stacked panels give, the nearest in plan. */
static bool is_better(const thaw_bundle *b, int32_t k, int32_t q, int32_t best, double higher)
{
    if (best < 0 || fabs(higher) > same_height_m)
        return best < 0 || higher > 0.0;
    return hypot(b->x_m[q] - b->x_m[k], b->y_m[q] - b->y_m[k]) <
           hypot(b->x_m[best] - b->x_m[k], b->y_m[best] - b->y_m[k]);
}

static int32_t best_below(const contact_work *work, int square, int32_t k, int32_t best)
{
    const thaw_bundle *b = work->b;
    int32_t end = work->start[square + 1];
    for (int32_t c = first_lower(work, work->start[square], end, b->z_m[k]); c < end; c++) {
        int32_t q = work->cells[c];
        if (best >= 0 && b->z_m[q] < b->z_m[best] - same_height_m)
            break;
        if (is_other_layer(work, k, q) && is_better(b, k, q, best, best < 0 ? 0.0 : b->z_m[q] - b->z_m[best]))
            best = q;
    }
    return best;
}

static int32_t best_above(const contact_work *work, int square, int32_t k, int32_t best)
{
    const thaw_bundle *b = work->b;
    int32_t c = first_lower(work, work->start[square], work->start[square + 1], b->z_m[k]);
    while (c-- > work->start[square]) {
        int32_t q = work->cells[c];
        if (best >= 0 && b->z_m[q] > b->z_m[best] + same_height_m)
            break;
        if (b->z_m[q] > b->z_m[k] && is_other_layer(work, k, q) &&
            is_better(b, k, q, best, best < 0 ? 0.0 : b->z_m[best] - b->z_m[q]))
            best = q;
    }
    return best;
}

static void find_partners(thaw_bundle *b, const contact_work *work, int32_t k)
{
    int si = b->tray[k] % b->tray_nx, sj = b->tray[k] / b->tray_nx;
    int32_t below = -1, above = -1;
    for (int j = sj > 0 ? sj - 1 : 0; j <= sj + 1 && j < b->tray_ny; j++)
        for (int i = si > 0 ? si - 1 : 0; i <= si + 1 && i < b->tray_nx; i++) {
            below = best_below(work, j * b->tray_nx + i, k, below);
            above = best_above(work, j * b->tray_nx + i, k, above);
        }
    b->below[k] = below;
    work->above[k] = above;
}

static void fill_partners(thaw_bundle *b, const contact_work *work)
{
    int32_t n = (int32_t)b->n;
#pragma omp parallel for schedule(static) default(none) shared(b, work, n)
    for (int32_t k = 0; k < n; k++) {
        b->below[k] = work->above[k] = -1;
        if (thaw_bundle_is_cloth(b, (size_t)k))
            find_partners(b, work, k);
    }
}

/* 1 if q lies over the upper side of the cloth at k, -1 if under its lower side, 0 beside it. Where cloth lies
 * level that is above and below. Where it slopes, what is next above may be the layer underneath, uphill. */
static int over(const contact_work *work, size_t k, size_t q)
{
    const thaw_bundle *b = work->b;
    double normal[3];
    normal_of(b, k, normal);
    double length = sqrt(normal[0] * normal[0] + normal[1] * normal[1] + normal[2] * normal[2]);
    if (!(length > 0.0))
        return 1;
    double apart = ((b->x_m[q] - b->x_m[k]) * normal[0] + (b->y_m[q] - b->y_m[k]) * normal[1] +
                    (b->z_m[q] - b->z_m[k]) * normal[2]) / (normal[2] < 0.0 ? -length : length);
    return fabs(apart) < beside_share * work->thickness_m ? 0 : apart > 0.0 ? 1 : -1;
}

static void fill_depth(thaw_bundle *b, const contact_work *work)
{
    for (size_t i = 0; i < b->n; i++) { /* highest first: the depth of the cell above is known */
        int32_t k = b->order[i], above = work->above[k];
        int depth = above < 0 ? 0 : b->depth[above] + over(work, (size_t)k, (size_t)above);
        b->depth[k] = (uint16_t)(depth < 0 ? 0 : depth < UINT16_MAX ? depth : UINT16_MAX);
    }
}

static void fill_squares(thaw_bundle *b, const contact_work *work)
{
    for (int s = 0; s < b->tray_nx * b->tray_ny; s++) {
        bool empty = work->start[s] == work->start[s + 1];
        b->top[s] = empty ? -1 : work->cells[work->start[s]];
        b->layers[s] = (uint16_t)(empty ? 0 : b->depth[work->cells[work->start[s + 1] - 1]] + 1);
    }
}

/* Holes that are only gaps between the centres of slanting cells take the highest cell around. */
static void fill_hole(thaw_bundle *b, const contact_work *work, int si, int sj)
{
    int32_t best = -1;
    int found = 0, layers = 0;
    for (int j = sj > 0 ? sj - 1 : 0; j <= sj + 1 && j < b->tray_ny; j++)
        for (int i = si > 0 ? si - 1 : 0; i <= si + 1 && i < b->tray_nx; i++) {
            int s = j * b->tray_nx + i;
            if (work->start[s] == work->start[s + 1])
                continue;
            int32_t q = work->cells[work->start[s]];
            best = best < 0 || b->z_m[q] > b->z_m[best] ? q : best;
            layers += b->layers[s];
            found++;
        }
    if (found < inside_neighbours)
        return;
    b->top[sj * b->tray_nx + si] = best;
    b->layers[sj * b->tray_nx + si] = (uint16_t)((layers + found / 2) / found);
}

static void fill_holes(thaw_bundle *b, const contact_work *work)
{
    for (int j = 0; j < b->tray_ny; j++)
        for (int i = 0; i < b->tray_nx; i++)
            if (work->start[j * b->tray_nx + i] == work->start[j * b->tray_nx + i + 1])
                fill_hole(b, work, i, j);
}

/* Standard normal, smooth over the cloth. */
static double unevenness(const contact_work *work, size_t k)
{
    const thaw_bundle *b = work->b;
    double u = ((double)(k % (size_t)b->nx) + 0.5) * b->cell_m / uneven_lattice_m;
    double v = ((double)(k / (size_t)b->nx) + 0.5) * b->cell_m / uneven_lattice_m;
    double wu[4], wv[4], sum = 0.0, square = 0.0;
    thaw_spline_weights(u - floor(u), wu);
    thaw_spline_weights(v - floor(v), wv);
    const float *corner = work->lattice + (size_t)v * (size_t)work->lattice_nx + (size_t)u;
    for (int j = 0; j < 4; j++)
        for (int i = 0; i < 4; i++) {
            double w = wu[i] * wv[j];
            sum += w * (double)corner[(size_t)j * (size_t)work->lattice_nx + (size_t)i];
            square += w * w;
        }
    return sum / sqrt(square);
}

static double contact_share(const contact_work *work, size_t k)
{
    const thaw_bundle *b = work->b;
    double gap = b->z_m[k] - b->z_m[b->below[k]] - work->thickness_m;
    double fading = exp(-fmax(0.0, gap - THAW_BUNDLE_SAGS_M) / fading_gap_m);
    double uneven = exp(uneven_sigma * unevenness(work, k) - 0.5 * uneven_sigma * uneven_sigma);
    double pressed = 1.0 + press_per_layer * b->depth[k];
    return fmin(share_pressed, share_stacked * fading * uneven * pressed);
}

static void fill_contact(thaw_bundle *b, const contact_work *work)
{
#pragma omp parallel for schedule(static) default(none) shared(b, work, share_pressed)
    for (size_t k = 0; k < b->n; k++)
        b->contact[k] = b->below[k] < 0 ? 0.0f : fminf((float)contact_share(work, k), 0.3f);
}

static thaw_status fill_lattice(contact_work *work, uint64_t seed, thaw_error *err)
{
    const thaw_bundle *b = work->b;
    work->lattice_nx = (int)(b->nx * b->cell_m / uneven_lattice_m) + 5;
    int lattice_ny = (int)(b->ny * b->cell_m / uneven_lattice_m) + 5;
    size_t n = (size_t)work->lattice_nx * (size_t)lattice_ny;
    work->lattice = thaw_allocate(n, sizeof(float), err);
    if (!work->lattice)
        return THAW_ERR_MEMORY;
    for (size_t i = 0; i < n; i++)
        work->lattice[i] = (float)thaw_random_normal(seed, THAW_STREAM_CONTACT, i);
    return THAW_OK;
}

static thaw_status allocate(thaw_bundle *b, contact_work *work, thaw_error *err)
{
    size_t squares = (size_t)b->tray_nx * (size_t)b->tray_ny;
    b->below = thaw_allocate(b->n, sizeof *b->below, err);
    b->contact = thaw_allocate(b->n, sizeof *b->contact, err);
    b->order = thaw_allocate(b->n, sizeof *b->order, err);
    b->tray = thaw_allocate(b->n, sizeof *b->tray, err);
    b->depth = thaw_allocate(b->n, sizeof *b->depth, err);
    b->top = thaw_allocate(squares, sizeof *b->top, err);
    b->layers = thaw_allocate(squares, sizeof *b->layers, err);
    work->start = thaw_allocate(squares + 1, sizeof *work->start, err);
    work->cells = thaw_allocate(b->n, sizeof *work->cells, err);
    work->above = thaw_allocate(b->n, sizeof *work->above, err);
    work->facing = thaw_allocate(b->n, sizeof *work->facing, err);
    bool whole = b->below && b->contact && b->order && b->tray && b->depth && b->top && b->layers && work->start &&
                 work->cells && work->above && work->facing;
    return whole ? THAW_OK : THAW_ERR_MEMORY;
}

static void release(contact_work *work)
{
    thaw_release(work->start);
    thaw_release(work->cells);
    thaw_release(work->above);
    thaw_release(work->facing);
    thaw_release(work->lattice);
}

thaw_status thaw_contact_link(double thickness_m, uint64_t seed, thaw_bundle *bundle, thaw_error *err)
{
    thaw_bundle *b = bundle;
    contact_work work = {.b = b, .thickness_m = thickness_m};
    b->tray_m = b->cell_m;
    b->tray_nx = (int)ceil(thaw_bundle_plan_width_m(b) / b->tray_m - 1e-6);
    b->tray_ny = (int)ceil(thaw_bundle_plan_length_m(b) / b->tray_m - 1e-6);
    thaw_status status = allocate(b, &work, err);
    if (status == THAW_OK)
        status = fill_lattice(&work, seed, err);
    if (status == THAW_OK)
        status = fill_order(b, err);
    if (status == THAW_OK) {
        fill_columns(b, &work);
        fill_facing(b, work.facing);
        fill_partners(b, &work);
        fill_depth(b, &work);
        fill_squares(b, &work);
        fill_holes(b, &work);
        fill_contact(b, &work);
    }
    release(&work);
    return status;
}

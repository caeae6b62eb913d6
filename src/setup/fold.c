/* A fold is a map of places to places, applied to every cell at once; folds compose in order.
 * Heights during folding are those of the middle of the cloth. */
#include "setup/fold.h"

#include <assert.h>
#include <limits.h>
#include <math.h>

#include "base/alloc.h"
#include "base/error.h"
#include "setup/contact.h"
#include "setup/creases.h"
#include "setup/gather.h"
#include "setup/hang.h"
#include "setup/knot.h"
#include "setup/panels.h"
#include "setup/roll.h"
#include "setup/scrunch.h"
#include "setup/tie.h"
#include "setup/twist.h"

static const double pi = 3.14159265358979323846;

/* name, value, unit, source */
static const double stack_spacing = 1.3;      /* layer spacing / cloth thickness, loose stack; estimate */
static const double least_share = 0.1;        /* of the area, the tightest scrunch; estimate */
static const uint64_t numbers_per_fold = UINT64_C(1) << 32;

typedef struct extent {
    double low, high;
} extent;

static extent extent_of(const double *values, size_t n)
{
    extent e = {values[0], values[0]};
    for (size_t k = 1; k < n; k++) {
        e.low = fmin(e.low, values[k]);
        e.high = fmax(e.high, values[k]);
    }
    return e;
}

static void shift(double *values, size_t n, double by)
{
    for (size_t k = 0; k < n; k++)
        values[k] += by;
}

/* A heap is about round. */
static double scrunched_share(const thaw_fold *fold, const thaw_bundle *b)
{
    thaw_plan_box box = thaw_plan_box_of(b);
    double share = pi / 4.0 * fold->size_m * fold->size_m / ((box.x1 - box.x0) * (box.y1 - box.y0));
    return fold->size_m > 0.0 ? fmax(least_share, fmin(1.0, share)) : fold->share;
}

static thaw_status apply_scrunch(const thaw_specification *spec, const thaw_hands *hands, thaw_bundle *b,
                                 thaw_error *err)
{
    double share = scrunched_share(hands->fold, b);
    if (!(share >= least_share && share <= 1.0))
        return thaw_fail(err, THAW_ERR_ARGUMENT, "a scrunch leaves 0.1 to 1 of the area, not %g", share);
    return thaw_scrunch_cells(&(thaw_scrunch){.share = share,
                                              .mask = hands->fold->kind == THAW_FOLD_CRUMPLE ? hands->fold->painted.mask : NULL,
                                              .thickness_m = spec->cloth->thickness_m,
                                              .seed = spec->seed,
                                              .first = hands->first},
                              b, err);
}

static thaw_status apply_fold(const thaw_specification *spec, int index, thaw_bundle *b, thaw_error *err)
{
    const thaw_fold *fold = &spec->folds[index];
    const thaw_hands hands = {.fold = fold,
                              .seed = spec->seed,
                              .first = (uint64_t)index * numbers_per_fold,
                              .gap_m = stack_spacing * spec->cloth->thickness_m};
    switch (fold->kind) {
    case THAW_FOLD_FLAT:
        return THAW_OK;
    case THAW_FOLD_ACCORDION:
        if (fold->pleats < 2 || fold->pleats > 1000)
            return thaw_fail(err, THAW_ERR_ARGUMENT, "an accordion needs 2 to 1000 pleats, not %d", fold->pleats);
        return thaw_creases_accordion(&hands, b, err);
    case THAW_FOLD_CRUMPLE:
        if (!fold->painted.mask)
            return thaw_fail(err, THAW_ERR_ARGUMENT, "a crumple needs a picture");
        return apply_scrunch(spec, &hands, b, err);
    case THAW_FOLD_SCRUNCH:
        return apply_scrunch(spec, &hands, b, err);
    case THAW_FOLD_FAN:
        return thaw_creases_fan(&hands, b, err);
    case THAW_FOLD_TRIANGLE:
        return thaw_creases_triangle(&hands, b, err);
    case THAW_FOLD_RADIAL:
        return thaw_creases_radial(&hands, b, err);
    case THAW_FOLD_TWIST:
        return thaw_twist_cells(fold, hands.gap_m, b, err);
    case THAW_FOLD_ROLL:
        thaw_roll_cells(fold, hands.gap_m, b);
        return THAW_OK;
    case THAW_FOLD_GATHER:
        thaw_gather_cells(&hands, b);
        return THAW_OK;
    case THAW_FOLD_KNOT:
        thaw_knot_cells(fold, hands.gap_m, b);
        return THAW_OK;
    case THAW_FOLD_TIE:
        thaw_tie_bind(fold, b);
        return THAW_OK;
    case THAW_FOLD_KINDS:
        break;
    }
    return thaw_fail(err, THAW_ERR_ARGUMENT, "unknown kind of fold");
}

static bool has_ties(const thaw_specification *spec)
{
    bool has = spec->hang.is_set && spec->hang.tie_m > 0.0;
    for (int i = 0; i < spec->n_folds; i++) {
        thaw_fold_kind kind = spec->folds[i].kind;
        has = has || kind == THAW_FOLD_TIE || kind == THAW_FOLD_GATHER || kind == THAW_FOLD_KNOT;
    }
    return has;
}

static thaw_status lay_flat(const thaw_specification *spec, thaw_bundle *b, thaw_error *err)
{
    const bool is_garment = spec->garment.n_panels > 0;
    double sheet_x = round(spec->width_m / spec->cell_m), cells_y = round(spec->length_m / spec->cell_m);
    double cells_x = sheet_x * thaw_specification_layers(spec);
    if (!(cells_x >= 1.0 && cells_y >= 1.0 && cells_x * cells_y < INT_MAX))
        return thaw_fail(err, THAW_ERR_ARGUMENT, "cloth of %g by %g m cannot be cut into cells of %g m",
                         spec->width_m, spec->length_m, spec->cell_m);
    *b = (thaw_bundle){.nx = (int)cells_x, .ny = (int)cells_y, .cell_m = spec->cell_m};
    b->n = (size_t)b->nx * (size_t)b->ny;
    b->sheet_nx = is_garment ? (int)sheet_x : 0;
    b->x_m = thaw_allocate(b->n, sizeof(double), err);
    b->y_m = thaw_allocate(b->n, sizeof(double), err);
    b->z_m = thaw_allocate(b->n, sizeof(double), err);
    b->tie = has_ties(spec) ? thaw_allocate(b->n, sizeof *b->tie, err) : NULL;
    if (!b->x_m || !b->y_m || !b->z_m || (has_ties(spec) && !b->tie))
        return THAW_ERR_MEMORY;
    for (size_t k = 0; k < b->n; k++) {
        const size_t i = k % (size_t)b->nx, wide = (size_t)sheet_x;
        b->x_m[k] = ((double)(i % wide) + 0.5) * b->cell_m;
        b->y_m[k] = ((double)(k / (size_t)b->nx) + 0.5) * b->cell_m;
        b->z_m[k] = (double)(i / wide) * stack_spacing * spec->cloth->thickness_m;
    }
    return is_garment ? thaw_panels_fill(spec, b, err) : THAW_OK;
}

/* Bring the bundle to the corner of the tray and measure it. */
static void measure(double thickness_m, thaw_bundle *b)
{
    double half = 0.5 * b->cell_m;
    extent x = extent_of(b->x_m, b->n), y = extent_of(b->y_m, b->n), z = extent_of(b->z_m, b->n);
    shift(b->x_m, b->n, half - x.low);
    shift(b->y_m, b->n, half - y.low);
    shift(b->z_m, b->n, -z.low);
    b->width_m = x.high - x.low + b->cell_m;
    b->length_m = y.high - y.low + b->cell_m;
    b->height_m = z.high - z.low + thickness_m;
}

thaw_status thaw_fold_bundle(const thaw_specification *spec, thaw_bundle *out, thaw_error *err)
{
    thaw_bundle b = {0};
    thaw_status status = lay_flat(spec, &b, err);
    const int rows = b.ny, folded = thaw_hang_first_row(spec, rows);
    b.ny = folded; /* hands fold only what lies in the bundle */
    const size_t lying = (size_t)b.nx * (size_t)folded;
    b.n = lying;
    if (status == THAW_OK && b.panel) {
        b.n = thaw_panels_pack(&b, lying);
        if (b.n == 0)
            status = thaw_fail(err, THAW_ERR_ARGUMENT, "no cloth of the garment lies in the bundle: all of it hangs");
    }
    for (int i = 0; status == THAW_OK && i < spec->n_folds; i++)
        status = apply_fold(spec, i, &b, err);
    if (status != THAW_OK)
        goto fail;
    measure(spec->cloth->thickness_m, &b);
    if (b.panel)
        thaw_panels_unpack(&b, lying);
    b.ny = rows;
    b.n = (size_t)b.nx * (size_t)rows;
    if (folded < rows)
        thaw_hang_lay(spec, folded, &b);
    status = thaw_contact_link(spec->cloth->thickness_m, spec->seed, &b, err);
    if (status != THAW_OK)
        goto fail;
    thaw_panels_sew(&b);
    thaw_tie_close(&b);
    assert(thaw_bundle_is_valid(&b));
    *out = b;
    return THAW_OK;
fail:
    thaw_bundle_release(&b);
    return status;
}

void thaw_bundle_release(thaw_bundle *bundle)
{
    thaw_release(bundle->panel);
    thaw_release(bundle->cut);
    thaw_release(bundle->seam);
    thaw_release(bundle->x_m);
    thaw_release(bundle->y_m);
    thaw_release(bundle->z_m);
    thaw_release(bundle->below);
    thaw_release(bundle->contact);
    thaw_release(bundle->tie);
    thaw_release(bundle->order);
    thaw_release(bundle->tray);
    thaw_release(bundle->top);
    thaw_release(bundle->layers);
    thaw_release(bundle->depth);
    *bundle = (thaw_bundle){0};
}

static bool cell_is_valid(const thaw_bundle *b, size_t k)
{
    if (!thaw_bundle_is_cloth(b, k))
        return b->below[k] == -1 && b->contact[k] == 0.0f && b->depth[k] == 0 && b->tray[k] >= 0 &&
               b->tray[k] < b->tray_nx * b->tray_ny && (b->cut[k] & (THAW_CUT_RIGHT | THAW_CUT_DOWN)) == 3u;
    const bool hangs = k >= thaw_bundle_first_hung(b);
    const double width_m = hangs ? b->hang_width_m : b->width_m, length_m = hangs ? b->hang_length_m : b->length_m;
    if (!(b->x_m[k] >= 0.0 && b->x_m[k] <= width_m && b->y_m[k] >= 0.0 && b->y_m[k] <= length_m))
        return false;
    if (hangs && !(isfinite(b->z_m[k]) && b->y_m[k] > b->length_m && b->below[k] < 0 && b->depth[k] == 0))
        return false;
    if (!hangs && !(b->z_m[k] >= -1e-9 && b->z_m[k] <= b->height_m))
        return false;
    if (b->tray[k] < 0 || b->tray[k] >= b->tray_nx * b->tray_ny)
        return false;
    if (!(b->contact[k] >= 0.0f && b->contact[k] <= 0.3f) || (b->tie && !(b->tie[k] >= 0.0f && b->tie[k] <= 1.0f)))
        return false;
    int32_t below = b->below[k];
    if (below < 0)
        return below == -1 && b->contact[k] == 0.0f;
    return (size_t)below < b->n && thaw_bundle_is_cloth(b, (size_t)below) && b->z_m[below] < b->z_m[k];
}

/* Strictly ordered by (height, index), so it names each cell once. */
static bool order_is_valid(const thaw_bundle *b)
{
    for (size_t i = 0; i < b->n; i++) {
        int32_t here = b->order[i];
        if (here < 0 || (size_t)here >= b->n)
            return false;
        if (i == 0)
            continue;
        int32_t last = b->order[i - 1];
        if (b->z_m[last] < b->z_m[here] || (b->z_m[last] == b->z_m[here] && last >= here))
            return false;
    }
    return true;
}

bool thaw_bundle_is_valid(const thaw_bundle *bundle)
{
    const thaw_bundle *b = bundle;
    if (b->nx < 1 || b->ny < 1 || b->hung_rows < 0 || b->hung_rows >= b->ny || b->n != (size_t)b->nx * (size_t)b->ny || !(b->cell_m > 0.0))
        return false;
    if (!b->x_m || !b->y_m || !b->z_m || !b->below || !b->contact || !b->order || !b->tray || !b->top || !b->layers ||
        !b->depth || b->tray_nx < 1 || b->tray_ny < 1)
        return false;
    for (size_t k = 0; k < b->n; k++)
        if (!cell_is_valid(b, k))
            return false;
    for (int s = 0; s < b->tray_nx * b->tray_ny; s++)
        if (b->top[s] < -1 || (b->top[s] >= 0 && (size_t)b->top[s] >= b->n) || (b->top[s] < 0) != (b->layers[s] == 0) ||
            (b->top[s] >= 0 && !thaw_bundle_is_cloth(b, (size_t)b->top[s])))
            return false;
    return order_is_valid(b);
}

/* Along the diagonal from the corner, d, and across it, v. Up to d = size the cloth is pleated into a strand of
 * even breadth, and the strand is wound up, corner inside. Beyond the neck the pleats open out:
 *   v' = s v,     s = 1 - (1 - s_neck) exp(-(d - size) / length),
 * and what a thread loses sideways it is drawn in along d, so that it keeps its length to second order. The
 * outer turn of the knot lies loose, the inner ones and the neck are pressed. */
#include "setup/knot.h"

#include <math.h>
#include <stdbool.h>

#include "setup/creases.h"
#include "setup/pleat.h"
#include "setup/tie.h"

static const double pi = 3.14159265358979323846;

/* name, value, unit, source: estimates */
static const double strand_m = 0.03;          /* m, breadth of the strand */
static const double pleat_m = 0.03;           /* m of cloth in one pleat */
static const double opens_in = 2.0;           /* length over which pleats open / size */
static const double neck_m = 0.01;            /* m along the strand, pressed as tight as the inside */
static const double outer_turn = 0.2;         /* tightness of the outer turn / of the inside */

typedef struct knot {
    double size_m, neck_share, length_m; /* see above */
    double radius_m, turn_m;       /* of the wound strand: outer radius, thickness */
    double low_m, rise_m, gap_m;   /* of the bundle so far, and spacing in the pleats */
    double tightness;
} knot;

static double share_at(const knot *n, double d_m)
{
    if (d_m < n->size_m)
        return fmin(1.0, 0.5 * strand_m / fmax(d_m, 1e-9));
    return 1.0 - (1.0 - n->neck_share) * exp(-(d_m - n->size_m) / n->length_m);
}

/* By how much a thread is drawn in, from where it begins at the edge of the cloth, |v| = d. */
static double drawn_in(const knot *n, double d_m, double v_m)
{
    double from = exp(-2.0 * fmax(0.0, fabs(v_m) - n->size_m) / n->length_m);
    double to = exp(-2.0 * (d_m - n->size_m) / n->length_m), open = 1.0 - n->neck_share;
    return 0.25 * v_m * v_m * open * open / n->length_m * fmax(0.0, from - to);
}

/* In: place along and across the diagonal, height in the bundle so far. */
static double knot_cell(const knot *n, double *d_m, double *v_m, double *z_m)
{
    double share = share_at(n, *d_m), plan_m = share * pleat_m, i = floor(*v_m / pleat_m + 0.5);
    thaw_pleat pleat = thaw_pleat_of(*v_m - (i - 0.5) * pleat_m, pleat_m, plan_m);
    double height = *z_m - n->low_m, v = (i - 0.5) * plan_m + pleat.along - thaw_pleat_bias(pleat_m, plan_m);
    bool turned = pleat.back && height <= n->rise_m; /* a knot in another corner stays as it is */
    double z = pleat.layers * n->gap_m + (turned ? n->rise_m - height : height), tightness = 0.0;
    if (*d_m >= n->size_m) {
        *d_m -= drawn_in(n, *d_m, *v_m);
    } else {
        double way = n->size_m - *d_m, left = n->radius_m * n->radius_m - n->turn_m * way / pi;
        double psi = 2.0 * pi / n->turn_m * (n->radius_m - sqrt(fmax(0.0, left)));
        double radius = n->radius_m - n->turn_m * psi / (2.0 * pi) - z;
        *d_m = n->size_m - radius * sin(psi);
        z = n->radius_m - radius * cos(psi);
        tightness = n->tightness * (way < neck_m || psi > 2.0 * pi ? 1.0 : outer_turn);
    }
    *v_m = v;
    *z_m = z;
    return tightness;
}

/* Along and across the diagonal from the corner; sx, sy: 1 where the cloth lies beyond the corner, -1 before. */
typedef struct corner {
    double x_m, y_m, sx, sy;
} corner;

static void to_diagonal(const corner *c, double x_m, double y_m, double *d_m, double *v_m)
{
    double px = c->sx * (x_m - c->x_m), py = c->sy * (y_m - c->y_m);
    *d_m = sqrt(0.5) * (px + py);
    *v_m = sqrt(0.5) * (py - px);
}

static knot make_knot(const thaw_fold *fold, double gap_m, const corner *at, const thaw_bundle *b)
{
    double low = HUGE_VAL, high = -HUGE_VAL;
    for (size_t k = 0; k < b->n; k++) { /* other corners may be knotted already */
        double d, v;
        to_diagonal(at, b->x_m[k], b->y_m[k], &d, &v);
        if (d < 1.5 * fold->size_m) {
            low = fmin(low, b->z_m[k]);
            high = fmax(high, b->z_m[k]);
        }
    }
    if (low > high)
        low = high = b->z_m[0];
    knot n = {.size_m = fold->size_m, .neck_share = fmin(1.0, 0.5 * strand_m / fold->size_m),
              .length_m = opens_in * fold->size_m, .low_m = low, .rise_m = high - low, .gap_m = gap_m + high - low,
              .tightness = fold->tightness};
    n.turn_m = (1.0 / n.neck_share + 2.0) * n.gap_m;
    n.radius_m = sqrt(n.size_m * n.turn_m / pi + n.turn_m * n.turn_m); /* a hole one turn thick stays in the middle */
    return n;
}

void thaw_knot_cells(const thaw_fold *fold, double gap_m, thaw_bundle *bundle)
{
    thaw_bundle *b = bundle;
    const bool right = fold->point == THAW_POINT_TOP_RIGHT || fold->point == THAW_POINT_BOTTOM_RIGHT;
    const bool bottom = fold->point == THAW_POINT_BOTTOM_LEFT || fold->point == THAW_POINT_BOTTOM_RIGHT;
    thaw_plan_box box = thaw_plan_box_of(b);
    corner at = {right ? box.x1 : box.x0, bottom ? box.y1 : box.y0, right ? -1.0 : 1.0, bottom ? -1.0 : 1.0};
    knot n = make_knot(fold, gap_m, &at, b);
    for (size_t k = 0; k < b->n; k++) {
        double d, v;
        to_diagonal(&at, b->x_m[k], b->y_m[k], &d, &v);
        thaw_tie_press(b, k, knot_cell(&n, &d, &v, &b->z_m[k]));
        b->x_m[k] = at.x_m + at.sx * sqrt(0.5) * (d - v);
        b->y_m[k] = at.y_m + at.sy * sqrt(0.5) * (d + v);
    }
}

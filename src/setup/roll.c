/* Each turn lies on the last: the radius grows by the thickness g of the bundle so far in a turn,
 *   R = a + g psi / 2 pi,     way along the cloth u = a psi + g psi^2 / 4 pi.
 * The pole is laid on the cloth and rolled, so the upper side comes to lie inside. Seen from the end the roll
 * begins at its lowest place. Nothing is said of the pole itself: water that would run round it falls through. */
#include "setup/roll.h"

#include <math.h>
#include <stdbool.h>

#include "setup/creases.h"

static const double pi = 3.14159265358979323846;

typedef struct roll {
    bool across, slants;
    double start_m, turn_m;        /* radius of the first turn, growth in a turn */
    double low_m, rise_m;          /* of the bundle so far */
} roll;

/* Along the way that gets rolled up, and along the pole. */
static void directions(const roll *r, double x_m, double y_m, double *u_m, double *v_m)
{
    double u = r->across ? x_m : y_m, v = r->across ? y_m : x_m;
    *u_m = r->slants ? sqrt(0.5) * (u + v) : u;
    *v_m = r->slants ? sqrt(0.5) * (v - u) : v;
}

static void roll_cell(const roll *r, double u_m, double v_m, thaw_bundle *b, size_t k)
{
    double psi = 2.0 * pi / r->turn_m * (sqrt(r->start_m * r->start_m + r->turn_m * u_m / pi) - r->start_m);
    double radius = r->start_m + r->turn_m * psi / (2.0 * pi) + r->rise_m - (b->z_m[k] - r->low_m);
    double side = radius * sin(psi);
    b->x_m[k] = r->across ? side : v_m;
    b->y_m[k] = r->across ? v_m : side;
    b->z_m[k] = -radius * cos(psi);
}

void thaw_roll_cells(const thaw_fold *fold, double gap_m, thaw_bundle *bundle)
{
    thaw_bundle *b = bundle;
    thaw_plan_box box = thaw_plan_box_of(b);
    double low = b->z_m[0], high = low, first = HUGE_VAL;
    roll r = {.across = fold->along == THAW_ALONG_WIDTH, .slants = fold->slant == THAW_SLANT_DIAGONAL};
    for (size_t k = 0; k < b->n; k++) {
        double u, v;
        low = fmin(low, b->z_m[k]);
        high = fmax(high, b->z_m[k]);
        directions(&r, b->x_m[k] - box.x0, b->y_m[k] - box.y0, &u, &v);
        first = fmin(first, u);
    }
    r.low_m = low;
    r.rise_m = high - low;
    r.turn_m = gap_m + r.rise_m;
    r.start_m = 0.5 * (fold->pole_m + gap_m);
    for (size_t k = 0; k < b->n; k++) {
        double u, v;
        directions(&r, b->x_m[k] - box.x0, b->y_m[k] - box.y0, &u, &v);
        roll_cell(&r, u - first, v, b, k);
    }
}

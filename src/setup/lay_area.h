/* Areas of the bundle as places to drop things on. */
#ifndef THAW_SETUP_LAY_AREA_H
#define THAW_SETUP_LAY_AREA_H

#include <stdbool.h>

#include "model/bundle.h"
#include "model/specification.h"
#include "thawprint/status.h"

/* How much belongs at a place of the plan, 0 .. 1: 0 outside the area, between only in a picture. */
double thaw_area_amount(const thaw_area *area, const thaw_bundle *bundle, double x_m, double y_m);
/* Inside the area, and cloth below? */
bool thaw_area_on_cloth(const thaw_area *area, const thaw_bundle *bundle, double x_m, double y_m);
/* Highest cloth cell at a place, -1 where there is none. */
int32_t thaw_bundle_top(const thaw_bundle *bundle, double x_m, double y_m);
/* The cell on which a grain lands there: of those open to the sky the nearest in plan. Where cloth slopes several lie over one
 * tray square, and only one of them is highest. Beside a band, and on hanging cloth, as thaw_bundle_top. */
int32_t thaw_bundle_open(const thaw_bundle *bundle, double x_m, double y_m);

/* Where a hand may drop something for an area. Boxes, discs and rings fill most of their own box, so places are
 * tried in it; of the other shapes the tray squares with cloth are listed, each as likely as its amount. */
typedef struct thaw_spots {
    const thaw_area *area;
    const thaw_bundle *bundle;
    size_t n;
    int32_t *square;               /* own, n: tray squares; NULL: tried in the box */
    double *sum;                   /* own, n: amounts up to and with the square */
} thaw_spots;

/* THAW_ERR_SCENARIO where no cloth lies in an area that depends on the size of the bundle. */
thaw_status thaw_spots_create(const thaw_area *area, const thaw_bundle *bundle, thaw_spots *out, thaw_error *err);
void thaw_spots_destroy(thaw_spots *spots);
/* Three uniforms to a place in metres; it need not lie on cloth inside the area. */
void thaw_spots_place(const thaw_spots *spots, const double u[3], double *x_m, double *y_m);
/* Plan area of cloth inside the area, m2, a picture's by amount. */
double thaw_area_size_m2(const thaw_area *area, const thaw_bundle *bundle);

#endif

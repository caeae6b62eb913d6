/* A photograph of a cloth made straight: four corners of the cloth in the picture are laid on the corners of a
 * rectangle (a homography). Everything is averaged in linear light. A point that should be white balances it: one
 * factor a channel. */
#ifndef THAW_LOOK_STRAIGHTEN_H
#define THAW_LOOK_STRAIGHTEN_H

#include <stdbool.h>

#include "base/picture.h"

/* Places in pixels from the top left of the picture. */
typedef struct thaw_corners {
    double at[4][2];               /* top left, top right, bottom right, bottom left of the cloth */
} thaw_corners;

/* The whole of a picture. */
thaw_corners thaw_corners_of(const thaw_picture *picture);
/* THAW_ERR_ARGUMENT with what is wrong: outside the picture, too near each other, not clockwise, or bent inwards. */
thaw_status thaw_corners_check(const thaw_corners *corners, const thaw_picture *picture, thaw_error *err);

/* Factors that bring the picture about a point to `white` (linear sRGB). THAW_ERR_ARGUMENT where the place is outside,
 * too dark, or burnt out, so that its colour is lost. */
thaw_status thaw_balance_find(const thaw_picture *picture, double x, double y, const double white[3], double factors[3],
                              thaw_error *err);

/* nx * ny cells as planes of XYZ, rows from the top; the caller checked the corners. Each is the mean of the picture over
 * the patch that the cell covers there. */
thaw_status thaw_straighten(const thaw_picture *picture, const thaw_corners *corners, const double factors[3], int nx, int ny,
                            double *xyz, thaw_error *err);

/* In place, before measuring. A forecast is drawn by curves from cell to cell (look/interpolate.h): the mean of a speck
 * of one cell over its cell is then 0.8125, and 0.09375 falls to the cell on either side. This undoes it, so that a
 * cloth which looks as the forecast's picture does measures as the forecast does. Values stay at or above 0. */
thaw_status thaw_straighten_sharpen(double *planes, int nx, int ny, thaw_error *err);

#endif

#include "model/bundle.h"

#include <math.h>

static double square_distance(const thaw_bundle *b, int32_t k, double x_m, double y_m)
{
    double dx = b->x_m[k] - x_m, dy = b->y_m[k] - y_m;
    return dx * dx + dy * dy;
}

int32_t thaw_bundle_top(const thaw_bundle *b, double x_m, double y_m)
{
    const int i = (int)floor(x_m / b->tray_m), j = (int)floor(y_m / b->tray_m);
    if (i < 0 || j < 0 || i >= b->tray_nx || j >= b->tray_ny) {
        return -1;
    }
    const int32_t top = b->top[(size_t)j * (size_t)b->tray_nx + (size_t)i];
    if (top < 0) {
        return -1;
    }
    const int column = top % b->nx, row = top / b->nx;
    int32_t best = top;
    double least = square_distance(b, top, x_m, y_m);
    for (int v = row > 0 ? row - 1 : 0; v <= row + 1 && v < b->ny; v++) {
        for (int u = column > 0 ? column - 1 : 0; u <= column + 1 && u < b->nx; u++) {
            double distance = square_distance(b, v * b->nx + u, x_m, y_m);
            if (distance < least) {
                least = distance;
                best = v * b->nx + u;
            }
        }
    }
    return best;
}

#include "setup/lay_area.h"

bool thaw_area_contains(const thaw_area *area, double fx, double fy)
{
    if (fx < area->x0 || fx > area->x1 || fy < area->y0 || fy > area->y1) {
        return false;
    }
    if (area->shape == THAW_AREA_BOX) {
        return true;
    }
    double dx = (2.0 * fx - area->x0 - area->x1) / (area->x1 - area->x0);
    double dy = (2.0 * fy - area->y0 - area->y1) / (area->y1 - area->y0);
    double r2 = dx * dx + dy * dy;
    return r2 <= 1.0 && (area->shape == THAW_AREA_DISC || r2 >= area->inner * area->inner);
}

void thaw_area_place(const thaw_area *area, const thaw_bundle *bundle, const double u[2], double *x_m, double *y_m)
{
    *x_m = bundle->width_m * (area->x0 + u[0] * (area->x1 - area->x0));
    *y_m = bundle->length_m * (area->y0 + u[1] * (area->y1 - area->y0));
}

int32_t thaw_bundle_top(const thaw_bundle *bundle, double x_m, double y_m)
{
    int i = (int)(x_m / bundle->tray_m), j = (int)(y_m / bundle->tray_m);
    if (x_m < 0.0 || y_m < 0.0 || i >= bundle->tray_nx || j >= bundle->tray_ny) {
        return -1;
    }
    return bundle->top[(size_t)j * (size_t)bundle->tray_nx + (size_t)i];
}

bool thaw_area_on_cloth(const thaw_area *area, const thaw_bundle *bundle, double x_m, double y_m)
{
    return thaw_area_contains(area, x_m / bundle->width_m, y_m / bundle->length_m) &&
           thaw_bundle_top(bundle, x_m, y_m) >= 0;
}

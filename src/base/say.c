#include "thawprint/say.h"

#include <math.h>
#include <stdio.h>

const char *thaw_say_duration(double t_s, char *out, size_t size)
{
    double minutes = floor(t_s / 60.0 + 0.5);
    double hours = floor(minutes / 60.0);
    if (!isfinite(t_s)) {
        snprintf(out, size, "unknown");
    } else if (hours < 1.0) {
        snprintf(out, size, "%.0f min", minutes);
    } else {
        snprintf(out, size, "%.0f h %02.0f min", hours, minutes - 60.0 * hours);
    }
    return out;
}

const char *thaw_say_about(double t_s, char *out, size_t size)
{
    const double h = t_s / 3600.0;
    if (!isfinite(t_s)) {
        snprintf(out, size, isinf(t_s) ? "after the rinse" : "unknown");
    } else if (h < 1.5) {
        snprintf(out, size, "%.0f min", fmax(10.0, 10.0 * floor(6.0 * h + 0.5)));
    } else if (h < 10.0) {
        const double halves = floor(2.0 * h + 0.5);
        snprintf(out, size, "%.0f%s h", floor(0.5 * halves), fmod(halves, 2.0) > 0.5 ? " 1/2" : "");
    } else if (h < 72.0) {
        snprintf(out, size, "%.0f h", floor(h + 0.5));
    } else {
        const double halves = floor(h / 12.0 + 0.5);
        snprintf(out, size, "%.0f%s days", floor(0.5 * halves), fmod(halves, 2.0) > 0.5 ? " 1/2" : "");
    }
    return out;
}

const char *thaw_say_colour(const double lab[3], char *out, size_t size)
{
    static const struct hue {
        double to_deg;
        const char *word;
    } hues[] = {{20, "pink-red"}, {50, "red"},     {75, "orange"},     {105, "yellow"},
                {140, "lime"},    {175, "green"},  {215, "turquoise"}, {255, "sky blue"},
                {290, "blue"},    {320, "violet"}, {345, "magenta"},   {361, "pink-red"}};
    double chroma = hypot(lab[1], lab[2]);
    double angle = atan2(lab[2], lab[1]) * 57.29577951308232;
    const char *shade = lab[0] > 75.0 ? "pale " : lab[0] < 35.0 ? "dark " : "";
    const char *hue = "grey";
    angle += angle < 0.0 ? 360.0 : 0.0;
    if (chroma < 8.0 && lab[0] > 88.0) {
        snprintf(out, size, "white");
        return out;
    }
    for (int i = 0; chroma >= 8.0; i++) {
        if (angle <= hues[i].to_deg) {
            hue = hues[i].word;
            break;
        }
    }
    snprintf(out, size, "%s%s%s", shade, chroma >= 8.0 && chroma < 20.0 ? "greyish " : "", hue);
    return out;
}

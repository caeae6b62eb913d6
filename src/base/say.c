#include "thawprint/say.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

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

/* Words of the list of colours, plain where several of it share one (red: scarlet, fire red; violet: purple). Limits are
 * set between the swatches of 0.02 to 8 % on weight of goods, so that none is called by the word of another hue. */
static const char *bright_word(double lightness, double angle_deg)
{
    static const struct hue {
        double to_deg;
        const char *word;
    } hues[] = {{20, "magenta"},    {42, "red"},        {63, "orange"},   {95.5, "golden yellow"}, {112, "lemon yellow"},
                {150, "yellow green"}, {190, "green"},  {222, "turquoise"}, {258, "cerulean"},     {298, "blue"},
                {326, "violet"},    {347, "fuchsia"},   {361, "magenta"}};
    int i = 0;
    while (angle_deg > hues[i].to_deg) {
        i++;
    }
    /* Pale blue turns towards cerulean. */
    return lightness > 75.0 && angle_deg > 246.0 && angle_deg <= 258.0 ? "blue" : hues[i].word;
}

/* Colours that have names of their own where they are dull; NULL: none. clean: chroma for each step away from white. */
static const char *dull_word(double lightness, double chroma, double clean, double angle_deg)
{
    if (angle_deg > 20.0 && angle_deg <= 95.5 && clean < 1.0) {
        return "brown";
    }
    if (angle_deg > 95.5 && angle_deg <= 150.0 && clean < 1.7) {
        return "olive green";
    }
    const bool is_deep = lightness < 28.0 || (lightness < 46.0 && chroma > 20.0);
    return angle_deg > 258.0 && angle_deg <= 305.0 && is_deep && chroma < 40.0 ? "navy" : NULL;
}

const char *thaw_say_colour(const double lab[3], char *out, size_t size)
{
    const double lightness = lab[0], chroma = hypot(lab[1], lab[2]), clean = chroma / fmax(1.0, 95.0 - lightness);
    const double turn_deg = atan2(lab[2], lab[1]) * 57.29577951308232, angle_deg = turn_deg + (turn_deg < 0.0 ? 360.0 : 0.0);
    const char *dull = dull_word(lightness, chroma, clean, angle_deg);
    const bool is_dark = lightness < 35.0 && !(dull && strcmp(dull, "navy") == 0);
    if (chroma < 8.0 && lightness > 88.0) {
        snprintf(out, size, "white");
    } else if (chroma < (lightness < 60.0 ? 10.0 : 8.0)) {
        snprintf(out, size, lightness < 30.0 ? "black" : lightness < 45.0 ? "dark grey" : lightness > 75.0 ? "pale grey" : "grey");
    } else {
        snprintf(out, size, "%s%s%s", lightness > 75.0 && chroma < 50.0 ? "pale " : is_dark ? "dark " : "",
                 !dull && chroma < 20.0 && clean < 0.8 ? "greyish " : "", dull ? dull : bright_word(lightness, angle_deg));
    }
    return out;
}

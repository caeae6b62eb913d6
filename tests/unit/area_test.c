/* Areas of every shape: what lies inside, on a flat cloth of 30 x 20 cm that fills the box of its bundle. */
#include "folded.h"

#include "data/cloths.h"
#include "data/water.h"
#include "setup/lay_area.h"

static thaw_bundle flat(void)
{
    const thaw_specification spec = {.cloth = thaw_cloths_find("cotton twill"), .width_m = 0.3, .length_m = 0.2,
                                     .cell_m = 0.002, .seed = 1};
    return folded(&spec);
}

static void check_size(const thaw_bundle *b, const thaw_area *area, double cm2, double tolerance_cm2)
{
    check_close(1e4 * thaw_area_size_m2(area, b), cm2, tolerance_cm2, area->name, __FILE__, __LINE__);
}

static void shapes_have_the_size_of_their_geometry(void **state)
{
    (void)state;
    const double pi = 3.141592653589793;
    thaw_bundle b = flat();
    const thaw_area box = {.name = "box", .shape = THAW_AREA_BOX, .in_metres = true, .x0 = 0.05, .y0 = 0.05, .x1 = 0.15, .y1 = 0.1};
    const thaw_area disc = {.name = "disc", .shape = THAW_AREA_DISC, .in_metres = true, .x0 = 0.05, .y0 = 0.05, .x1 = 0.15, .y1 = 0.15};
    const thaw_area ring = {.name = "ring", .shape = THAW_AREA_RING, .in_metres = true, .x0 = 0.05, .y0 = 0.0, .x1 = 0.25, .y1 = 0.2, .inner = 0.5};
    const thaw_area band = {.name = "band", .shape = THAW_AREA_BAND, .in_metres = true, .wide_in_metres = true, .x0 = 0.05, .y0 = 0.05, .x1 = 0.17, .y1 = 0.14, .width = 0.03};
    const thaw_area hoop = {.name = "hoop", .shape = THAW_AREA_HOOP, .x0 = 0.5, .y0 = 0.5, .wide_in_metres = true, .width = 0.08, .spacing = 0.03};
    const thaw_area wedge = {.name = "wedge", .shape = THAW_AREA_WEDGE, .x0 = 0.5, .y0 = 0.5, .from_deg = 0.0, .to_deg = 90.0};
    const thaw_area wedges = {.name = "wedges", .shape = THAW_AREA_WEDGES, .x0 = 0.5, .y0 = 0.5, .n_corners = 4, .to_deg = 45.0};
    const thaw_area lines = {.name = "lines", .shape = THAW_AREA_LINES, .in_metres = true, .wide_in_metres = true, .from_deg = 0.0, .spacing = 0.05, .width = 0.012};
    const thaw_area rings = {.name = "rings", .shape = THAW_AREA_RINGS, .in_metres = true, .wide_in_metres = true, .x0 = 0.15, .y0 = 0.1, .spacing = 0.09, .width = 0.01};
    const thaw_area polygon = {.name = "polygon", .shape = THAW_AREA_POLYGON, .n_corners = 3, .corners = {{0.0, 0.0}, {1.0, 0.0}, {0.0, 1.0}}};
    check_size(&b, &box, 50.0, 0.5);
    check_size(&b, &disc, pi * 25.0, 1.0);
    check_size(&b, &ring, pi * 75.0, 2.0);
    check_size(&b, &hoop, pi * (64.0 - 9.0), 2.0);
    check_size(&b, &band, 15.0 * 3.0, 1.0);
    check_size(&b, &wedge, 150.0, 2.0);
    check_size(&b, &wedges, 2.0 * (10.0 * 10.0 + 15.0 * 15.0) * tan(pi / 8.0), 3.0); /* four triangles */
    check_size(&b, &lines, 30.0 * 4.0 * 1.2, 1.0); /* 0 and 5 cm from the middle, and half of those at 10 cm */
    check_size(&b, &rings, pi * (9.5 * 9.5 - 8.5 * 8.5), 3.0); /* with the second ring in the very corners */
    check_size(&b, &polygon, 300.0, 2.0);
    thaw_bundle_release(&b);
}

static void a_wedge_runs_clockwise_from_the_top(void **state)
{
    (void)state;
    thaw_bundle b = flat();
    thaw_area wedge = {.name = "wedge", .shape = THAW_AREA_WEDGE, .x0 = 0.5, .y0 = 0.5, .from_deg = 0.0, .to_deg = 90.0};
    assert_true(thaw_area_amount(&wedge, &b, 0.2, 0.05) > 0.0);  /* away from you, to the right */
    assert_close(thaw_area_amount(&wedge, &b, 0.1, 0.05), 0.0, 0.0);
    assert_close(thaw_area_amount(&wedge, &b, 0.2, 0.15), 0.0, 0.0);
    wedge.from_deg = 300.0;
    wedge.to_deg = 380.0; /* past the top */
    assert_true(thaw_area_amount(&wedge, &b, 0.14, 0.02) > 0.0);
    assert_true(thaw_area_amount(&wedge, &b, 0.16, 0.02) > 0.0);
    assert_close(thaw_area_amount(&wedge, &b, 0.15, 0.18), 0.0, 0.0);
    thaw_bundle_release(&b);
}

/* Twice as dark is twice as likely. */
static void a_painted_area_is_hit_by_its_amounts(void **state)
{
    (void)state;
    uint8_t amounts[3] = {60, 120, 0};
    const thaw_mask mask = {3, 1, amounts};
    const thaw_area area = {.name = "picture", .shape = THAW_AREA_PICTURE, .mask = &mask};
    thaw_bundle b = flat();
    thaw_spots spots;
    thaw_error err = {0};
    int hits[3] = {0};
    assert_int_equal(thaw_spots_create(&area, &b, &spots, &err), THAW_OK);
    for (int i = 0; i < 30000; i++) {
        const double u[3] = {fmod(i * 0.618, 1.0), fmod(i * 0.414, 1.0), (i + 0.5) / 30000.0};
        double x, y;
        thaw_spots_place(&spots, u, &x, &y);
        hits[(int)(3.0 * x / b.width_m)]++;
    }
    assert_int_equal(hits[2], 0);
    assert_close(hits[1] / (double)hits[0], 2.0, 0.05);
    thaw_spots_destroy(&spots);
    thaw_bundle_release(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shapes_have_the_size_of_their_geometry),
        cmocka_unit_test(a_wedge_runs_clockwise_from_the_top),
        cmocka_unit_test(a_painted_area_is_hit_by_its_amounts),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

/* What must hold whenever part of the cloth hangs: books that close, ice and powder on the bundle alone, and
 * a free end that gives the more water the lower it hangs. */
#include "small.h"

/* The shipped piece at a fifth of its size, its edge 2 cm above the rack and its end where asked; wet to begin
 * with and under film, since what little hangs so low dries before it drips. */
static thaw_scenario *gull_cloth(double end_m)
{
    thaw_scenario *scenario = small_scenario("gull-cloth", 0.2);
    thaw_specification *spec = &scenario->spec;
    spec->hang.up_m = 0.02;
    spec->hang.down_m = spec->hang.up_m - end_m;
    spec->pickup_kg_kg = 3.0;
    spec->covered = true;
    return scenario;
}

static void check_books(const thaw_engine *e)
{
    assert_at_most(thaw_engine_water_error(e), 1e-9);
    assert_at_most(thaw_engine_heat_error(e), 1e-9);
    assert_at_most(thaw_engine_soda_error(e), 1e-9);
    for (int c = 0; c < e->dyes->n; c++) {
        assert_at_most(thaw_engine_dye_error(e, c), 1e-9);
    }
}

/* Nothing was laid on the hanging sheet: it holds no dry powder, and its squares lie open from first to last. */
static void check_heap(const thaw_outcome *w)
{
    for (int i = 0; i < w->heap.n; i++) {
        assert_true(w->heap.x_m[i] <= w->bundle.width_m && w->heap.y_m[i] <= w->bundle.length_m);
    }
    for (size_t k = thaw_bundle_first_hung(&w->bundle); k < w->bundle.n; k++) {
        for (int c = 0; c < w->dyes.n; c++) {
            assert_close(w->heap.fallen_kg_m2[c][k], 0.0, 0.0);
        }
        assert_close(w->engine.warmth.hung[w->engine.warmth.square_of_cell[k]], 1.0, 0.0);
    }
}

static void the_books_close_for_hanging_cloth(void **state)
{
    (void)state;
    thaw_scenario *scenario = small_scenario("gull-cloth", 0.2);
    thaw_outcome work;
    run_small(thaw_scenario_specification(scenario), &work);
    check_books(&work.engine);
    check_heap(&work);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

static double drip_kg(double end_m)
{
    thaw_scenario *scenario = gull_cloth(end_m);
    thaw_outcome work;
    run_small(thaw_scenario_specification(scenario), &work);
    check_books(&work.engine);
    double kg = work.engine.free_end_kg;
    print_message("free end at %+.0f mm: %.2f g dripped from it, %.1f g left the whole\n", 1e3 * end_m, 1e3 * kg,
                  1e3 * work.engine.water.tub_kg);
    assert_at_most(kg, work.engine.water.tub_kg);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
    return kg;
}

static void a_lower_free_end_drains_more(void **state)
{
    (void)state;
    const double level = drip_kg(0.0), lower = drip_kg(-0.10), lowest = drip_kg(-0.20);
    assert_true(level < lower);
    assert_true(lower < lowest);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_books_close_for_hanging_cloth),
        cmocka_unit_test(a_lower_free_end_drains_more),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

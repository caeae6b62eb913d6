/* Silk and wool against cellulose: how sorption and bonding follow soda ash, and what a blend does. */
#include "bench.h"

#include "data/cloths.h"
#include "data/fibres.h"
#include "sim/protein.h"

static void what_is_said_of_20_grams_of_soda_is_so(void **state)
{
    (void)state;
    assert_close((double)thaw_protein_free(20.0f), (double)THAW_PROTEIN_FREE_20, 2e-4);
    assert_close((double)thaw_protein_bonding(THAW_PROTEIN_FREE_20), 1.0, 1e-6);
    assert_close((double)thaw_protein_sorption(THAW_PROTEIN_FREE_20, 1.0f), 1.0, 1e-6);
}

static void groups_are_freed_by_soda_and_never_all(void **state)
{
    (void)state;
    float before = thaw_protein_free(0.0f);
    assert_true(before == 0.0f && thaw_protein_free(-1e-9f) == 0.0f);
    for (float soda = 0.001f; soda < 100.0f; soda *= 1.5f) {
        const float free = thaw_protein_free(soda);
        assert_true(free > before && free < 1.0f);
        before = free;
    }
}

/* Half the soda changes next to nothing; in neutral water a tenth of the speed is left. */
static void bonding_levels_off_above_and_below(void **state)
{
    (void)state;
    assert_close((double)thaw_protein_bonding(thaw_protein_free(40.0f)), 1.0, 0.02);
    assert_close((double)thaw_protein_bonding(thaw_protein_free(10.0f)), 1.0, 0.02);
    assert_close((double)thaw_protein_bonding(0.0f), 0.1 / (0.9 * 0.9732 + 0.1), 1e-4);
}

/* Salt is washed out first: sorption falls, then rises as the groups take up protons. */
static void sorption_falls_with_the_salt_and_rises_in_soft_water(void **state)
{
    (void)state;
    const double middle = (double)thaw_protein_sorption(thaw_protein_free(1.0f), 0.224f);
    const double soft = (double)thaw_protein_sorption(thaw_protein_free(0.0f), 0.2f);
    assert_true(middle > 0.224 && middle < 0.6);
    assert_true(soft > 1.0 && soft < 1.5);
}

static void each_cloth_is_of_the_class_of_its_fibre(void **state)
{
    (void)state;
    for (int i = 0; i < thaw_cloths_count(); i++) {
        const thaw_cloth_kind *cloth = thaw_cloths_at(i);
        assert_close(cloth->protein_share, thaw_fibres_find(cloth->fibre)->is_protein ? 1.0 : 0.0, 0.0);
    }
    assert_true(thaw_fibres_find("silk")->is_protein && thaw_fibres_find("wool")->is_protein);
    assert_false(thaw_fibres_find("cotton")->is_protein || thaw_fibres_find("rayon")->is_protein);
}

/* Dye fixed after ten minutes, and dye held, in so much soda. */
static void soak(const thaw_cloth_kind *cloth, double soda_kg_m3, double *held, double *fixed)
{
    const thaw_component *dye = dye_of("RD");
    bench b;
    open_bench(&b, cloth, 1, 1, &dye, 280.0, 1.0, soda_kg_m3);
    b.state.mobile_kg_m2[0][0] = 1e-6;
    wait_s(&b, 0.0, 10);
    *held = b.uptake.hold_m3_kg_m2[0];
    wait_s(&b, 600.0, 10);
    *fixed = b.state.fixed_kg_m2[0][0];
    close_bench(&b);
}

static void a_blend_follows_each_fibre_in_its_share(void **state)
{
    (void)state;
    static const double sodas[] = {0.0, 0.3, 5.0, 20.0, 40.0};
    thaw_cloth_kind cloth = *thaw_cloths_find("cotton twill");
    for (int i = 0; i < 5; i++) {
        double held[3], fixed[3];
        for (int p = 0; p < 3; p++) {
            cloth.protein_share = 0.5 * p;
            soak(&cloth, sodas[i], &held[p], &fixed[p]);
        }
        assert_close(held[1], 0.5 * (held[0] + held[2]), 1e-4 * held[0]);
        assert_true(fixed[1] > fmin(fixed[0], fixed[2]) && fixed[1] < fmax(fixed[0], fixed[2]));
    }
}

/* 84 kJ/mol less the 20 that are OH-'s: at 1 C bonding has lost a factor of 6.4 instead of 10.6. */
static void bonding_to_protein_slows_less_in_the_cold(void **state)
{
    (void)state;
    const double lost = exp(64e3 / 8.314462618 * (1.0 / 274.15 - 1.0 / 293.15));
    const thaw_component *dye = dye_of("RD");
    double fixed[2];
    for (int cold = 0; cold < 2; cold++) {
        bench b;
        open_bench(&b, thaw_cloths_find("silk habotai"), 1, 1, &dye, cold ? 274.15 : 293.15, 1.0, 20.0);
        b.state.mobile_kg_m2[0][0] = 1e-9;
        wait_s(&b, 0.0, 10);
        const double kd_hold = dye->kd_m3_kg * b.uptake.hold_m3_kg_m2[0];
        const double part = kd_hold / (b.spec.cloth->pore_m + kd_hold);
        wait_s(&b, 1.0, 1);
        fixed[cold] = b.state.fixed_kg_m2[0][0] / part;
        close_bench(&b);
    }
    assert_close(fixed[0] / fixed[1], lost, 0.01 * lost);
}

static void bonding_fades_from_damp_to_air_dry(void **state)
{
    (void)state;
    static const double moist[][2] = {{0.0, 0.0}, {0.02, 0.0}, {0.035, 0.5}, {0.05, 1.0}, {0.3, 1.0}};
    const thaw_component *dye = dye_of("RD");
    for (size_t i = 0; i < sizeof moist / sizeof *moist; i++) {
        bench b;
        open_bench(&b, thaw_cloths_find("cotton lawn"), 1, 1, &dye, 293.15, moist[i][0], 20.0);
        b.state.mobile_kg_m2[0][0] = 1e-9;
        wait_s(&b, 1.0, 1);
        const double kd_hold = dye->kd_m3_kg * b.uptake.hold_m3_kg_m2[0];
        const double part = kd_hold / (b.spec.cloth->pore_m * moist[i][0] + kd_hold);
        assert_close(b.state.fixed_kg_m2[0][0] / (1e-9 * part * dye->fixation_per_s), moist[i][1], 1e-3);
        close_bench(&b);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_said_of_20_grams_of_soda_is_so),
        cmocka_unit_test(groups_are_freed_by_soda_and_never_all),
        cmocka_unit_test(bonding_levels_off_above_and_below),
        cmocka_unit_test(sorption_falls_with_the_salt_and_rises_in_soft_water),
        cmocka_unit_test(each_cloth_is_of_the_class_of_its_fibre),
        cmocka_unit_test(a_blend_follows_each_fibre_in_its_share),
        cmocka_unit_test(bonding_to_protein_slows_less_in_the_cold),
        cmocka_unit_test(bonding_fades_from_damp_to_air_dry),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

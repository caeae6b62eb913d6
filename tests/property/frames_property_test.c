/* Frames look on: a run that is watched is the same run, and what they show agrees with it. */
#include "small.h"

#include <string.h>

#include "api/preview_result.h"
#include "base/alloc.h"
#include "study/frames.h"

static thaw_preview *preview_with(const thaw_scenario *scenario, int frames, int threads)
{
    thaw_error err = {0};
    thaw_preview *preview = NULL;
    const thaw_preview_options options = {.threads = threads, .without_ranges = true, .frames = frames};
    assert_done(thaw_preview_run(scenario, &options, &preview, &err), &err);
    return preview;
}

static void assert_same_image(const thaw_image *a, const thaw_image *b)
{
    assert_int_equal(a->width, b->width);
    assert_memory_equal(a->rgb, b->rgb, 3 * (size_t)a->width * (size_t)a->height);
}

static void a_run_that_is_watched_gives_the_same_bytes(void **state)
{
    (void)state;
    thaw_error err = {0};
    thaw_scenario *scenario = small_scenario("tide-backdrop", 0.15);
    thaw_preview *plain = preview_with(scenario, 0, 1), *watched = preview_with(scenario, 9, 1);
    char *first = NULL, *second = NULL;
    assert_done(thaw_preview_json(plain, &first, &err), &err);
    assert_done(thaw_preview_json(watched, &second, &err), &err);
    assert_string_equal(first, second);
    assert_string_equal(plain->curve, watched->curve);
    for (int i = 0; i < THAW_PICTURES; i++) {
        assert_same_image(&plain->images[i], &watched->images[i]);
    }
    assert_int_equal(plain->n_frames, 0);
    assert_true(watched->n_frames >= 8);
    thaw_text_free(first);
    thaw_text_free(second);
    thaw_preview_destroy(plain);
    thaw_preview_destroy(watched);
    thaw_scenario_destroy(scenario);
}

static void frames_are_the_same_at_any_number_of_threads(void **state)
{
    (void)state;
    thaw_scenario *scenario = small_scenario("herons-cape", 0.2);
    thaw_preview *one = preview_with(scenario, 5, 1), *three = preview_with(scenario, 5, 3);
    assert_int_equal(one->n_frames, three->n_frames);
    for (int i = 0; i < one->n_frames; i++) {
        assert_int_equal(one->frames[i].picture.n, three->frames[i].picture.n);
        assert_memory_equal(one->frames[i].picture.bytes, three->frames[i].picture.bytes, one->frames[i].picture.n);
    }
    assert_same_image(&one->strip, &three->strip);
    thaw_preview_destroy(one);
    thaw_preview_destroy(three);
    thaw_scenario_destroy(scenario);
}

/* Mean of all bytes of one half of a frame. */
static double lightness(const thaw_frame *frame, int half)
{
    double sum = 0.0;
    for (int y = 0; y < THAW_FRAME_SIDE; y++) {
        for (int x = 0; x < 3 * THAW_FRAME_SIDE; x++) {
            sum += frame->image.rgb[(size_t)y * 6 * THAW_FRAME_SIDE + (size_t)half * 3 * THAW_FRAME_SIDE + (size_t)x];
        }
    }
    return sum / (3.0 * THAW_FRAME_SIDE * THAW_FRAME_SIDE);
}

static void frames_begin_with_all_the_ice_and_end_at_the_rinse(void **state)
{
    (void)state;
    thaw_error err = {0};
    thaw_scenario *scenario = small_scenario("tide-backdrop", 0.15);
    const thaw_specification *spec = thaw_scenario_specification(scenario);
    thaw_outcome work = {.spec = spec};
    thaw_frames *frames = thaw_allocate(1, sizeof *frames, &err);
    assert_non_null(frames);
    assert_done(thaw_outcome_prepare(&work, &err), &err);
    thaw_frames_watch(frames, 12, &work);
    assert_done(thaw_engine_run(&work.engine, NULL, NULL, &err), &err);
    const thaw_frame *first = &frames->frames[0], *last = &frames->frames[frames->n - 1];
    assert_true(first->time_s == 0.0);
    assert_close(first->ice_kg, work.heap.mass_total_kg, 1e-9);
    assert_close(last->time_s, spec->leave_s, 1e-6);
    assert_close(last->ice_kg, work.engine.melt.left_kg, 1e-12);
    for (int i = 1; i < frames->n; i++) {
        assert_true(frames->frames[i].time_s > frames->frames[i - 1].time_s);
        assert_true(frames->frames[i].ice_kg <= frames->frames[i - 1].ice_kg + 1e-12);
        assert_true(frames->frames[i].wet_share >= 0.0 && frames->frames[i].wet_share < 2.0);
    }
    assert_true(lightness(first, 1) > lightness(last, 1) + 5.0); /* bare cloth is lighter than dyed */
    thaw_frames_release(frames);
    thaw_release(frames);
    thaw_outcome_clear(&work);
    thaw_scenario_destroy(scenario);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_run_that_is_watched_gives_the_same_bytes),
        cmocka_unit_test(frames_are_the_same_at_any_number_of_threads),
        cmocka_unit_test(frames_begin_with_all_the_ice_and_end_at_the_rinse),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}

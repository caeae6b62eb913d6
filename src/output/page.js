// Two controls, both plain sliders: wet or dry, and the time of the melt. All else on the page works without this.
(() => {
  'use strict';
  const at = (id) => document.getElementById(id);
  document.documentElement.classList.add('live');

  const wetOrDry = (box, panel, slide) => {
    const show = () => {
      box.style.setProperty('--wet', slide.value + '%');
      slide.setAttribute('aria-valuetext', slide.value + ' percent of the width is shown wet');
    };
    const drag = (event) => {
      if (event.type === 'pointerdown' || event.buttons & 1) {
        const place = box.getBoundingClientRect();
        slide.value = Math.round(100 * (event.clientX - place.left) / place.width);
        show();
      }
    };
    box.addEventListener('dragstart', (event) => event.preventDefault());
    box.addEventListener('pointerdown', drag);
    box.addEventListener('pointermove', drag);
    slide.addEventListener('input', show);
    panel.hidden = false;
    show();
  };

  const melt = (viewer, list, slide, play, said) => {
    const frames = [...list.children].map((item) => ({
      image: item.querySelector('img'),
      words: item.querySelector('figcaption').textContent,
      hours: Number(item.dataset.hours),
    }));
    const halves = [...viewer.querySelectorAll('.half')].map((half) => {
      const image = document.createElement('img');
      half.append(image);
      return image;
    });
    const now = at('now');
    let timer = 0;
    const show = () => {
      const frame = frames[slide.value];
      halves[0].src = halves[1].src = frame.image.src;
      halves[0].alt = frame.image.alt;
      halves[1].alt = '';
      said.textContent = frame.words;
      slide.setAttribute('aria-valuetext', frame.words);
      if (now) {
        const x = Number(now.dataset.left) + Number(now.dataset.perHour) * frame.hours;
        now.setAttribute('x1', x);
        now.setAttribute('x2', x);
      }
    };
    const stop = () => {
      clearInterval(timer);
      timer = 0;
      play.textContent = 'Play';
    };
    const step = () => {
      if (Number(slide.value) >= frames.length - 1) {
        stop();
      } else {
        slide.value = Number(slide.value) + 1;
        show();
      }
    };
    play.addEventListener('click', () => {
      if (timer) {
        stop();
        return;
      }
      if (Number(slide.value) >= frames.length - 1) {
        slide.value = 0;
        show();
      }
      timer = setInterval(step, 250);
      play.textContent = 'Pause';
    });
    slide.max = frames.length - 1;
    slide.addEventListener('input', () => {
      stop();
      show();
    });
    viewer.hidden = false;
    show();
  };

  if (at('slide')) {
    wetOrDry(at('pair'), at('slide-panel'), at('slide'));
  }
  if (at('frames')) {
    melt(at('viewer'), at('frames'), at('time'), at('play'), at('said'));
  }
})();

// Runs before the first paint so that a chosen mood never flashes the other one.
(function () {
  try {
    var mood = localStorage.getItem('sojourn-mood');
    if (mood === 'paper' || mood === 'night') document.documentElement.dataset.mood = mood;
  } catch {
    // Storage is closed to us: the system's own preference stands.
    delete document.documentElement.dataset.mood;
  }
})();

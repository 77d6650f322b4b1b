/** Keeps the screen on where the browser can (not on plain HTTP). Says whether it can. */
export function keepScreenOn(): boolean {
  const lock = (navigator as { wakeLock?: WakeLock }).wakeLock;
  if (!lock) return false;
  const request = (): void => {
    if (document.visibilityState === 'visible') lock.request('screen').catch(() => undefined);
  };
  request();
  document.addEventListener('visibilitychange', request);
  return true;
}

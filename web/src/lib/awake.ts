// Keeps the screen on: by the browser's wake lock, or, where there is none (an old browser, a page served without
// https), by playing a video that nobody sees. The page cannot tell whether the second way works, so it also tells
// the person to set the screen to stay on.

/** Resolves to whether the screen may still turn itself off. */
export async function stayAwake(): Promise<boolean> {
  let picture: HTMLVideoElement | null = null;
  const ask = async (): Promise<boolean> => {
    if (document.visibilityState !== "visible") return false;
    try {
      const lock = await navigator.wakeLock.request("screen");
      lock.addEventListener("release", () => void ask(), { once: true });
      picture?.remove();
      picture = null;
      return false;
    } catch {
      picture ??= movingPicture();
      // Some browsers play nothing before the first tap.
      picture?.play().catch(() => undefined);
      return true;
    }
  };
  document.addEventListener("visibilitychange", () => void ask());
  document.addEventListener("click", () => {
    if (picture?.paused) picture.play().catch(() => undefined);
  });
  return ask();
}

/** A video of one dot that blinks once a second, as large as the page and invisible. */
function movingPicture(): HTMLVideoElement | null {
  const canvas = document.createElement("canvas");
  canvas.width = canvas.height = 2;
  const brush = canvas.getContext("2d");
  if (!brush || !("captureStream" in canvas)) return null;
  const video = document.createElement("video");
  video.srcObject = canvas.captureStream(1);
  video.muted = video.playsInline = true;
  video.setAttribute("aria-hidden", "true");
  Object.assign(video.style, {
    position: "fixed",
    inset: "0",
    zIndex: "-1",
    width: "100%",
    height: "100%",
    opacity: "0.01",
    pointerEvents: "none",
  });
  document.body.prepend(video);
  let on = false;
  const blink = setInterval(() => {
    on = !on;
    brush.fillStyle = on ? "#000" : "#111";
    brush.fillRect(0, 0, 2, 2);
    if (!video.isConnected) clearInterval(blink);
  }, 1_000);
  return video;
}

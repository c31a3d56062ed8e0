/** What a mesh that was just stretched is going to do: its own forecast, or what is usual until that comes. */
import { t } from "../../../shared/language.js";
import { tensionText } from "../../../shared/units.js";
import { useNow } from "../../ui/app.js";
import { outlookText } from "../card/outlook.js";
import { usualLoss } from "../../sums/usual_loss.js";

const HOUR_MS = 3_600_000;
const DAY_H = 24;

/** @param {{card: any, since: number | null}} props  since the last turn */
export function FirstForecast({ card, since }) {
  const now = useNow();
  const { screen, forecast } = card;
  const check = screen?.last_check;
  if (!check || !since) return null;
  const own = forecast && outlookText(forecast, now);
  if (own) return <p><b>{t`First forecast:`}</b> {own}</p>;
  const hours = (Date.parse(check.at) - since) / HOUR_MS;
  if (hours < 0) return null;
  const then = check.mean - usualLoss(hours, DAY_H, screen.target_n_per_cm);
  return <p><b>{t`First forecast:`}</b> {t`A day after the last check about ${tensionText(then)} N/cm, as is usual. Its own forecast comes with reception.`}</p>;
}

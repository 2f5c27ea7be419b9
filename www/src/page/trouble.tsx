type Props = { text: string; remedy: string; place?: string };

/** What stopped or shortened something, where, and what to do. */
export function Trouble({ text: what, remedy, place = '' }: Props) {
  return (
    <div class="trouble">
      {what !== '' && <p class="trouble-text">{what}</p>}
      {place !== '' && <p class="trouble-place">{place}</p>}
      <p class="remedy">{remedy}</p>
    </div>
  );
}

/** The plumb bob, as in the icon. */
export function Mark() {
  return (
    <svg class="bob" viewBox="0 0 16 30" width="16" height="30" aria-hidden="true">
      <path d="M7.25 0h1.5v9.5h-1.5z" />
      <path d="M2.5 9.5h11L8 28z" />
    </svg>
  );
}

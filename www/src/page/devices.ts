/** The device's inputs and outputs; pages that are not served securely have none. */
export function mediaDevices(): MediaDevices | undefined {
  return (navigator as { mediaDevices?: MediaDevices }).mediaDevices;
}

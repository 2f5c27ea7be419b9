import { expect, test } from './site';

test('everything is done from the keyboard', async ({ plumbline }) => {
  const { page } = plumbline;
  await page.keyboard.press('Tab');
  await expect(page.getByRole('link', { name: 'Skip to the sheet' })).toBeFocused();
  await page.keyboard.press('Enter');
  await page.keyboard.press('Tab');
  await expect(plumbline.button('Choose recordings')).toBeFocused();
  await page.keyboard.press('Tab');
  await expect(plumbline.button('Choose a folder')).toBeFocused();
  await page.keyboard.press('Tab');
  await expect(plumbline.button('Make a demo shoot')).toBeFocused();
  await page.keyboard.press('Tab');
  await expect(plumbline.button('Make a demo recording')).toBeFocused();
  await page.keyboard.press('Enter');
  await plumbline.isRead();
  await expect(plumbline.verdict).toBeFocused();

  await page.keyboard.press('Tab');
  const hand = page.getByRole('slider');
  await expect(hand).toBeFocused();
  await page.keyboard.press('PageUp');
  await expect(plumbline.codewordAddress).toBeVisible();
  const address = await plumbline.codewordAddress.innerText();
  await page.keyboard.press('ArrowRight');
  await expect(plumbline.codewordAddress).not.toHaveText(address);
  await page.keyboard.press('ArrowLeft');
  await expect(plumbline.codewordAddress).toHaveText(address);

  await page.keyboard.press('Tab');
  const square = page.locator('.square').first();
  await expect(square).toBeFocused();
  await page.keyboard.press('Enter');
  await expect(page.locator('.findings li:focus')).toHaveCount(1);
});

test('what is heard: the progress, then the verdict', async ({ plumbline }) => {
  await plumbline.demo();
  const spoken = plumbline.page.locator('.paper > [role=status]');
  await expect(spoken).toHaveText(await plumbline.verdict.innerText());
});

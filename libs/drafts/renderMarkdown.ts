/** Markdown to HTML that can do nothing: no embedded HTML, no pictures from elsewhere, links to the open web only. */
import MarkdownIt from 'markdown-it';

const renderer = new MarkdownIt({ html: false, linkify: false, typographer: false });
// A picture from elsewhere would tell that place who reads.
renderer.disable('image');
renderer.validateLink = (address) => /^(https?:|mailto:)/i.test(address.trim());
renderer.renderer.rules['link_open'] = (tokens, index, options, _environment, self) => {
  tokens[index]?.attrSet('rel', 'noreferrer noopener nofollow');
  tokens[index]?.attrSet('target', '_blank');
  return self.renderToken(tokens, index, options);
};

export const renderMarkdown = (markdown: string): string => renderer.render(markdown);

export const escapeHtml = (text: string): string => renderer.utils.escapeHtml(text);

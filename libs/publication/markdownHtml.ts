/** A review's Markdown as HTML: no raw HTML, no pictures from elsewhere, links that give nothing away. */
import MarkdownIt from 'markdown-it';

const markdown = new MarkdownIt({ html: false, linkify: true, typographer: false }).disable('image');

const plainLink = markdown.renderer.rules['link_open'];
markdown.renderer.rules['link_open'] = (tokens, index, options, env, self) => {
  tokens[index]?.attrSet('rel', 'noreferrer nofollow');
  return plainLink ? plainLink(tokens, index, options, env, self) : self.renderToken(tokens, index, options);
};

/** Headings begin two levels down: the page has its own first ones. */
const HEADINGS_DOWN = 2;
for (const rule of ['heading_open', 'heading_close'] as const) {
  markdown.renderer.rules[rule] = (tokens, index, options, _env, self) => {
    const token = tokens[index];
    if (token) token.tag = `h${Math.min(6, Number(token.tag.slice(1)) + HEADINGS_DOWN)}`;
    return self.renderToken(tokens, index, options);
  };
}

export const markdownHtml = (text: string): string => markdown.render(text);

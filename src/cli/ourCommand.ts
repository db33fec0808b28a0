/**
 * A command of the command line whose user left out what it needs: all of that is said at once, with what each thing is
 * and an example that can be typed. Reads no option's value.
 */
import { type AddHelpTextContext, type AddHelpTextPosition, Command, type Option } from 'commander';
import { UserError } from '../errors.ts';

/** Overrides the three messages of the library; it calls them by these names. */
export class OurCommand extends Command {
  /** What is said after its help. */
  #help = '';

  override addHelpText(position: AddHelpTextPosition, text: string | ((context: AddHelpTextContext) => string)): this {
    if (typeof text !== 'string') return super.addHelpText(position, text);
    this.#help += `${text}\n`;
    return super.addHelpText(position, text);
  }

  override createCommand(name?: string): Command {
    return new OurCommand(name);
  }

  missingArgument(): never {
    throw this.#lacking();
  }

  missingMandatoryOptionValue(): never {
    throw this.#lacking();
  }

  optionMissingArgument(option: Option): never {
    throw new UserError(
      `${option.long ?? option.flags}: has no value; expected ${option.flags}: ${option.description}. ${this.#example(option)}`,
    );
  }

  #lacking(): UserError {
    const values = this.registeredArguments.filter(({ required }, i) => required && this.args[i] === undefined);
    const options = this.options.filter((option) => option.mandatory && this.getOptionValue(option.attributeName()) === undefined);
    const lines = [
      ...values.map((one) => `alight ${this.#path()}: <${one.name()}> is missing: ${one.description}.`),
      ...options.map((one) => `alight ${this.#path()}: ${one.flags} is missing: ${one.description}.`),
    ];
    return new UserError([...lines.slice(0, -1), `${lines.at(-1)} ${this.#example(options[0])}`]);
  }

  /** Its name with those of the commands that it is of, but for the program's. */
  #path(): string {
    return this.parent instanceof OurCommand && this.parent.parent !== null ? `${this.parent.#path()} ${this.name()}` : this.name();
  }

  /** Of its help's examples the first with this option, or the first. */
  #example(option: Option | undefined): string {
    const examples = this.#help.split('\n').flatMap((line) => (line.startsWith(`  alight ${this.#path()} `) ? [line.trim()] : []));
    const fit = examples.find((line) => option?.long !== undefined && line.includes(`${option.long} `)) ?? examples[0];
    return fit === undefined ? `See alight ${this.#path()} --help` : `Example: ${fit}`;
  }
}
